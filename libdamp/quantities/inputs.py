"""What may be given: one row a quantity.

A row: name | unit | possible from..to | usual from..to | meaning | how to measure.
A name that means different things in different places carries the place before a dot. "possible" is refused
beyond, "usual" earns a finding beyond. Ranges are trade experience, from memory; no source.
"""

ROWS = """
oil.viscosity_cst | cSt | 20..20000 | 100..1500 | kinematic viscosity at the reference temperature | the cSt print on the bottle, or the mPa s print divided by the density in g/ml
oil.reference_temperature_c | C | -20..120 | 20..40 | temperature at which the viscosity holds, 25 for silicone oil | the bottle; silicone oil is graded at 25 C, petroleum oil at 40 C
vtc | 1 | 0.05..0.95 | 0.5..0.65 | viscosity-temperature coefficient, 1 - nu(99 C)/nu(38 C) | the oil's data sheet
density_kg_m3 | kg/m3 | 700..1300 | 850..990 | density at 25 C | weigh 10 ml from a syringe
label_value | 1 | 0..1000000 | | the number on a bottle that is no viscosity ("wt", or whatever is printed) | the bottle
label.viscosity_cst | cSt | 1..100000 | 20..20000 | kinematic viscosity at 25 C of the bottle with that label | a bottle of the same series with a cSt print, a timed pull or a falling ball
relaxation_time_s | s | 0..0.01 | 1e-7..1e-3 | relaxation time of an oil that thins in fast shear, kept as given at every temperature; 0 does not thin | a rheologist's fit (Carreau); leave thinning out if you have none
power_index | 1 | 0.05..1 | 0.2..1 | power index of an oil that thins in fast shear, 1 does not thin | a rheologist's fit (Carreau)
floor_share | 1 | 0..1 | 0..1 | viscosity left in the fastest shear over that at rest | a rheologist's fit (Carreau); 0 unless it says otherwise
target_cst | cSt | 1..20000 | 100..1500 | wanted viscosity of the mixture at 25 C | your choice
thick_share | 1 | 0..1 | | share of the thick oil by volume | syringe
second_point.viscosity_cst | cSt | 1..100000 | | viscosity at a second temperature | the oil's data sheet, or a timed pull at another temperature
second_point.temperature_c | C | -20..120 | | temperature of the second point | the oil's data sheet
holes.count | 1 | 1..20 | 1..10 | number of equal holes | count them
holes.diameter_mm | mm | 0.4..5 | 0.9..3 | hole diameter | the largest drill shank that goes through, the next does not; calipers are useless here
edge_factor | 1 | 0.3..1.5 | 0.5..1.1 | factor on the inertial loss for the shape of the hole's edges, 1 sharp | leave 1 unless a fit says otherwise
piston.thickness_mm | mm | 0.5..12 | 1.5..6 | piston thickness, the length of its holes | calipers
piston.diameter_mm | mm | 4..40 | 8.5..26 | piston diameter; null says that no oil passes around it | calipers; bore less 0.1 mm is usual
eccentricity | 1 | 0..1 | 0..1 | how far off centre the piston runs, 0 centred, 1 touching | leave 0
gas_ml | ml | 0.005..200 | 0.1..8 | gas when the cap was closed, at atmospheric pressure | bladder in the upturned cap: fill the space behind it with water from a syringe
room_ml | ml | 0.005..200 | 0.1..8 | room behind a vented bladder until it lies flat | fill the space behind the bladder with water from a syringe
closing_insertion_mm | mm | 0..120 | 0..75 | how far the shaft was pushed in when the cap was closed | ruler on the shaft
exponent | 1 | 1..1.4 | 1..1.4 | exponent of the gas in fast motion, 1 slow, 1.4 fastest | leave it out: 1.3
filled_at_c | C | -20..120 | 5..35 | temperature of the oil when the cap was closed | thermometer in the oil
bore_mm | mm | 5..40 | 9..26 | inner diameter of the body | piston across plus 0.1 mm; never at the threaded mouth
shaft_mm | mm | 1.5..12 | 2.5..8 | shaft diameter | calipers
stroke_mm | mm | 3..120 | 8..75 | shaft travel without limiter | extended less compressed length, calipers eye to eye
extended_length_mm | mm | 20..500 | 45..260 | eye to eye, fully out, without limiter | calipers eye to eye
limiter_mm | mm | 0..100 | 0..20 | spacer inside that keeps the shaft from coming fully out | calipers on the spacer
cavity_length_mm | mm | 5..250 | 13..90 | length of the bore that oil and piston share | depth gauge of the calipers
seat_offset_mm | mm | -20..100 | 0..30 | lower spring seat above the lower eye | calipers
seal_drag_n | N | 0..20 | 0.02..2 | friction of the seals on the shaft | coins on the upright shaft until it sinks: grams x 0.0098
spring.rate_n_mm | N/mm | 0.05..30 | 0.25..5 | spring rate | label, or press it on a kitchen scale to two lengths
free_length_mm | mm | 5..300 | 30..160 | length of the spring off the shock | calipers
block_length_mm | mm | 1..250 | 5..60 | length of the spring with all coils touching | (turns that touch) x wire, or squeeze it in a vice
preload_mm | mm | -60..120 | 0..20 | spring compression with the shock fully out in use; negative is loose; null sets level arms | free length less the length between the seats at full droop
wire_mm | mm | 0.2..6 | 0.8..3 | wire diameter | calipers on one coil, twice, turned by a quarter
mean_coil_mm | mm | 2..80 | 10..40 | mean coil diameter: outer diameter less one wire | calipers across the coil
active_coils | 1 | 1..60 | 3..20 | coils that work: all coils less the ones lying flat at the ends | count them
total_coils | 1 | 1..64 | 4..22 | all coils, those lying flat at the ends included | count them
shear_modulus_gpa | GPa | 20..120 | 66..84 | shear modulus of the wire: 81.5 patented carbon wire, about 71 stainless | a magnet sticks to carbon wire, hardly to stainless
wire.density_kg_m3 | kg/m3 | 1000..20000 | 7700..8100 | density of the wire | leave 7850
force_n | N | 0..5000 | 0..500 | force on the spring | press it on a scale: grams x 0.0098
arm_length_mm | mm | 10..500 | 40..200 | inner hinge pin to outer pin | calipers
lower_mount_along_mm | mm | 5..500 | 25..160 | lower shock mount from the hinge pin, along the arm | calipers
lower_mount_above_mm | mm | -80..80 | -10..20 | lower shock mount above the line of the arm | calipers
upper_mount_out_mm | mm | -300..300 | 0..90 | upper shock mount outward of the hinge pin | calipers
upper_mount_up_mm | mm | 5..500 | 25..200 | upper shock mount above the hinge pin | calipers
other_upper_mounts_out_mm | mm | -300..300 | 0..90 | other holes for the upper shock mount, each outward of the hinge pin | calipers
other_upper_mounts_up_mm | mm | 5..500 | 25..200 | other holes for the upper shock mount, each above the hinge pin | calipers
other_lower_mounts_along_mm | mm | 5..500 | 25..160 | other holes for the lower shock mount, each from the hinge pin along the arm | calipers
other_lower_mounts_above_mm | mm | -80..80 | -10..20 | other holes for the lower shock mount, each above the line of the arm | calipers
pairs.travel_mm | mm | -200..200 | | wheel travel of a measured row, bump positive, 0 at level arms | lift the wheel in 5 mm steps, spring off
pairs.shock_length_mm | mm | 10..500 | | shock length of a measured row, eye to eye | calipers
motion_ratio | 1 | 0.1..1.5 | 0.45..0.95 | shock travel per wheel travel, below 1 on most cars | lift the wheel in 5 mm steps, spring off, caliper eye to eye
level_length_mm | mm | 15..500 | 40..250 | shock length with level arms | calipers eye to eye
tyre.rate_n_mm | N/mm | 0.1..100 | 0.8..15 | vertical rate of the tyre | axle height with the wheel lifted less standing = squash; load over squash
damping_n_s_m | N s/m | 0..300 | 0..60 | vertical damping of the tyre | drop the bare wheel 200 mm, film how high it bounces
loss_factor | 1 | 0..2 | 0.05..0.6 | tyre damping over sqrt(rate x corner mass) | drop the bare wheel 200 mm, film how high it bounces
radius_mm | mm | 10..200 | 25..110 | free tyre radius | half the diameter across the tread
sidewall_mm | mm | 1..100 | 5..50 | squash at which the rim carries | calipers: tread to rim
sprung_mass_g | g | 20..20000 | 120..4500 | share of the car's mass that this corner's spring carries | corner on the scale less the unsprung mass
unsprung_mass_g | g | 5..8000 | 25..1500 | wheel, hub, half the arm and shock | wheel and hub on the scale + 25 g (1:10), + 60 g (1:8)
level_clearance_mm | mm | 1..150 | 4..70 | chassis above ground with level arms, tyre squashed by the standing car | ruler, arms held level
wheelbase_mm | mm | 60..1200 | 150..600 | distance between the axles | tape measure
track_mm | mm | 60..1000 | 130..520 | distance between the tyres' centres | tape measure
cg_height_mm | mm | 5..300 | 20..150 | centre of gravity above ground | balance the car on its side
scale_reading_g | g | 20..30000 | | mass on the scale under one wheel, car ready to run | scale under one wheel, equal blocks under the others
part.count | 1 | 0..1000 | | how many of this part are in hand | count them
blanks.count | 1 | 0..1000 | | how many undrilled pistons are in hand | count them
max_holes | 1 | 1..20 | | how many holes a blank has room for | look
hole_circle_mm | mm | 2..38 | | diameter of the circle on which the holes lie | calipers
drill_mm | mm | 0.3..6 | | a drill in hand | the print on its shank
spacer_mm | mm | 0.1..30 | | a preload spacer in hand; without any the spring is taken as just held at full droop | calipers
collar_step_mm | mm | 0.05..5 | 0.1..2 | smallest step of the spring collar that can be repeated | pitch of the thread x the part of a turn
oil_temperature_c | C | -20..120 | 0..90 | temperature of the oil in use | infra-red on bare metal, or oil in a cup
air_temperature_c | C | -30..60 | -10..45 | temperature of the air in the shade | thermometer
bump_height_mm | mm | 0..150 | 0..50 | height of the bumps, crest to trough | ruler
bump_spacing_mm | mm | 5..10000 | 30..3000 | distance from crest to crest | ruler
use.speed_m_s | m/s | 0.1..60 | 1..25 | driving speed over the bumps | phone film over a known distance
apex_m | m | 0..6 | 0..2 | highest point of the jump over the landing | phone film
jump.speed_m_s | m/s | 0..60 | 0..20 | speed along the ground in the jump | phone film over a known distance
landing_deg | deg | -60..60 | -10..40 | slope of the landing, downhill positive | phone's level
goal.target | 1 | -10000..10000 | | wanted value | your choice
goal.tolerance | 1 | 0.000001..10000 | | deviation that counts as one | your choice
temperature_c | C | -20..120 | 0..90 | temperature of the oil | infra-red on bare metal, or oil in a cup
speed_m_s | m/s | 0..20 | 0..5 | shaft speed |
pressure_difference_kpa | kPa | 0..100000 | 0..3000 | pressure difference between the two sides of the piston | a computed landing; else leave it and give a speed
groove_mm | mm | 0.5..12 | 1.1..8 | diameter of the shaft's groove for the piston's clip | calipers across the bottom of the groove
yield_mpa | MPa | 50..3000 | 150..2000 | yield stress of the shaft | the steel's data sheet; 200 is soft steel
match.speed_m_s | m/s | 0.0001..20 | 0.005..5 | shaft speed at which two shocks are compared |
insertion_mm | mm | 0..120 | | shaft pushed in, from the uncut full length | ruler on the shaft
axle_g | g | 60..60000 | 400..12000 | both wheels of an axle on the scale | scale under both wheels, the other axle on a block of equal height
corner_g | g | 30..30000 | 200..6000 | one wheel on the scale | scale under one wheel, equal blocks under the others
squash_mm | mm | 0.05..60 | 0.5..10 | how far the standing car squashes the tyre | axle height, wheel lifted, less car standing
extended_in_use_mm | mm | 20..500 | 45..260 | eye to eye, fully out against the limiter | calipers eye to eye
bubble_mm | mm | 0.005..5 | 0.05..2 | diameter of a bubble in the oil | about 0.1 mm is the smallest that the bare eye sees
depth_mm | mm | 1..300 | 10..90 | height of oil above the lowest bubble | depth gauge of the calipers
air_share | 1 | 0..0.9 | 0..0.3 | free air by volume of oil and air together, at atmospheric pressure | foamed oil in a syringe until it is clear: what its volume has lost over the volume at first
chamber_mm | mm | 0.5..250 | 2..90 | length of the oil in front of the piston at rest | cavity length less piston and shaft insertion
aerated.pressure_kpa | kPa | 1..10000 | 10..1500 | absolute pressure after the change; 101.325 is the atmosphere | damping force over the piston's area, plus the pressure at rest
rest_pressure_kpa | kPa | 1..10000 | 50..500 | absolute pressure at rest | leave 101.325; `fill_check` gives the cap's
aerated.exponent | 1 | 1..1.4 | 1..1.4 | exponent of the air in the oil, 1 slow or small bubbles, 1.4 fastest | leave 1: bubbles under 1 mm keep the oil's temperature
bulk_modulus_gpa | GPa | 0.3..5 | 0.5..2 | bulk modulus of the oil without air, 0.85 silicone, about 1.5 petroleum | leave it out
compressed_length_mm | mm | 10..480 | 35..220 | eye to eye, shaft fully in | calipers eye to eye
height_mm | mm | 0..3000 | 0..600 | height of the fall, tyre over ground | ruler
push_mm | mm | 0.5..60 | 3..20 | how far the chassis is pushed down from rest | ruler
amplitude_mm | mm | 0.05..60 | 1..25 | half of the whole way to and fro | your choice
bench.frequency_hz | Hz | 0.01..100 | 0.2..20 | cycles a second | your choice
cycles | 1 | 1..20 | | how many cycles | your choice
void_hole_factor | 1 | 1..2 | 1..1.6 | factor on the inertial loss of a hole that discharges into an empty space | leave 1; the answer shows 1.6 as a bound
void_kpa | kPa | 0..60 | 0..50 | pressure of the empty space under the piston | leave 0; the answer shows 50 as a bound
stop_rate_n_mm | N/mm | 30..5000 | 100..1000 | stiffness of the stops at either end of the stroke | leave 300
ground_rate_n_mm | N/mm | 5..5000 | 30..500 | stiffness of the chassis on the ground | leave 100
ground_damping_n_s_m | N s/m | 0..1000 | 0..300 | damping of the chassis on the ground | leave 60
over.values | 1 | -1000000000..1000000000 | | a value of a swept field, in the field's unit | your choice
samples | 1 | 100..20000 | | how many draws | leave 2000
seed | 1 | 0..4294967295 | | what the draws begin from; the same seed gives the same draws | leave 1
spread.sd | 1 | 0..1000000 | | standard deviation, in the field's unit | measure it several times
spread.rel_sd | 1 | 0..2 | | standard deviation over the value | measure it several times
spread.half_width | 1 | 0..1000000 | | farthest that the true value may be from the given one, in the field's unit | your judgement
spread.low | 1 | -1000000..1000000 | | lowest that the value may be, in the field's unit | your judgement
spread.high | 1 | -1000000..1000000 | | highest that the value may be, in the field's unit | your judgement
"""
