"""What is answered: one row a quantity; name | unit | meaning."""

ROWS = """
value | 1 | the converted value, in the unit beside it
viscosity_now_cst | cSt | kinematic viscosity at the asked temperature
dynamic_mpa_s | mPa s | dynamic viscosity at the asked temperature
density_now_kg_m3 | kg/m3 | density at the asked temperature
viscosity_25_cst | cSt | kinematic viscosity at 25 C
table_label_value | 1 | label of the row of the table next to the asked one
table_cst | cSt | kinematic viscosity at 25 C in that row
viscosity_40_cst | cSt | kinematic viscosity at 40 C
iso_grade_number | 1 | viscosity grade VG of ISO 3448
iso_low_cst | cSt | lowest viscosity at 40 C of the grade
iso_high_cst | cSt | highest viscosity at 40 C of the grade
thick_share_volume | 1 | share of the thick oil by volume
season.bottles | 1 | place of a bottle in the list of oils, from 0
season.parts | 1 | parts by volume of that bottle
damping_error_share | 1 | slow damping with that oil over the wanted, less one
thick_share_mass | 1 | share of the thick oil by mass, for a kitchen scale
blend_low_cst | cSt | lowest viscosity of the mixture that any rule gives
blend_high_cst | cSt | highest viscosity of the mixture that any rule gives
shaft_speed_m_s | m/s | shaft speed of each row
compression_n | N | damping force on compression, no void
rebound_n | N | damping force on rebound, negative, no void
compression_capped_n | N | damping force on compression, no more than the void force
viscous_share | 1 | share of the loss that is creeping flow and grows with viscosity
reynolds | 1 | largest Reynolds number in the holes
low_speed_n_s_m | N s/m | damping coefficient as the speed goes to zero
void_force_n | N | compression damping beyond which an empty space opens under the piston
void_speed_m_s | m/s | steady shaft speed whose damping reaches the void force
leak_share | 1 | share of the flow that passes around the piston as the speed goes to zero
oil_ml | ml | oil that fills the body with the shaft at the closing position
shaft_ml | ml | oil that the whole stroke of the shaft pushes aside
spare_ml | ml | gas left with the shaft fully in; zero or less locks
pressure_kpa | kPa | absolute gas pressure with the shaft fully in
gas_force_n | N | force of the gas on the shaft
let_out_ml | ml | oil to let out so that a tenth of the shaft's volume stays as gas when hot
rise_mm_s | mm/s | speed at which the bubble rises
wait_s | s | time until the bubble has risen through the oil above it
bubble.reynolds | 1 | Reynolds number of the rising bubble
dead_travel_mm | mm | way of the piston, in or out, that goes into the air before the pressure is reached
effective_bulk_modulus_gpa | GPa | bulk modulus of oil and air together at the pressure after the change
air_share_now | 1 | share of air by volume at the pressure after the change
ratio_at_level | 1 | shock travel per wheel travel at level arms
shock_length_mm | mm | eye to eye at level arms
shock_force_n | N | force of the whole shock that level arms need
spring_force_n | N | spring force that level arms need
preload_now_mm | mm | spring compression with the shock fully out in use; negative is loose
preload_for_level_mm | mm | spring compression at full droop that gives level arms; negative is loose
collar_mm | mm | upper eye down to the spring's upper seat
height_error_mm | mm | chassis above (+) or below (-) level arms with that step
wheel_travel_mm | mm | wheel travel at rest from level arms, + = car sits lower
clearance_mm | mm | chassis above ground at rest
droop_travel_mm | mm | wheel travel from rest to full droop
bump_travel_mm | mm | wheel travel from rest to the first stop
wheel_rate_n_mm | N/mm | rate at the wheel at rest, with gas and geometry
frequency_hz | Hz | natural frequency of the body on this corner, tyre rigid
frequency_with_tyre_hz | Hz | natural frequency of the body with the tyre's spring
wheel_hop_hz | Hz | natural frequency of the wheel between tyre and suspension
damping_ratio | 1 | 0 swings on, 1 comes back without swinging
drag_band_mm | mm | ride height within which the seals' friction holds the car, either way
on_slope_mm | mm | fall straight down onto the flat that lands as hard as this jump on its slope
overshot_mm | mm | fall straight down onto the flat that lands as hard when the slope is overshot
impact_m_s | m/s | speed square to the landing's surface
frequency_ratio | 1 | front over rear natural frequency
damping_ratio_ratio | 1 | front over rear damping ratio
distance | 1 | sum of ((value - target)/tolerance)^2 over the goals
wire_rate_n_mm | N/mm | rate of the spring
wire_block_length_mm | mm | length with all coils touching
wahl_factor | 1 | Wahl's factor on the stress for curvature and direct shear
bergstraesser_factor | 1 | Bergstraesser's factor on the stress for curvature and direct shear
stress_mpa | MPa | largest shear stress in the wire at the force (Wahl)
surge_hz | Hz | lowest frequency at which the coils swing by themselves
load_n | N | thrust of the piston on its clip, the larger of both ways
compression_load_n | N | thrust on the clip on the rod side, on compression
rebound_load_n | N | thrust on the clip on the cap side, on rebound
clip_mm | mm | size of the standard clip: the groove that it is made for
clip_limit_n | N | thrust that the clip takes, static value halved for blows
groove_limit_n | N | thrust that the groove in the shaft takes, static value halved for blows
bearing_mpa | MPa | pressure of the clip on the piston at the larger load
bearing_limit_mpa | MPa | pressure that the piston takes under the clip
margin | 1 | least limit over load; below 1 is overloaded
hole_mm | mm | hole diameter
force_ratio | 1 | damping force of the candidate over the reference's
curve_deviation | 1 | largest deviation of the candidate's force from the reference's between the two speeds
real_drill_mm | mm | real drill nearest to the wanted hole
number_drill | 1 | number of the number drill nearest to the wanted hole
number_drill_mm | mm | diameter of that number drill
share_1 | 1 | a share of the whole
builds | 1 | number of builds
clearance_gain_mm | mm | clearance in the landing over that of the build nearest to the goals
variation_gain | 1 | by how much the tyre's load varies less than with the build nearest to the goals
distance_cost | 1 | by how much the build is further from the goals than the nearest
mix_parts | 1 | parts by volume of an oil in a mixture
short_by | 1 | by how much the nearest build misses, in the unit beside it
least_clearance_mm | mm | least clearance of the chassis; below zero it slaps
peak_insertion_mm | mm | greatest shaft insertion, from the uncut full length
peak_shaft_speed_m_s | m/s | greatest shaft speed
peak_shock_n | N | greatest push of the whole shock: spring, pressures, seal drag, stops
kerb_peak_n | N | greatest push of the whole shock as the wheel rises over a kerb
peak_pull_n | N | greatest pull of the whole shock, as a positive number
peak_piston_difference_kpa | kPa | greatest pressure difference across the piston
piston_load_n | N | greatest thrust of the piston on its clip, without the blow of a void that closes
peak_void_ml | ml | largest empty space under the piston
peak_cap_kpa | kPa | greatest pressure under the cap, absolute
bounce_height_mm | mm | greatest height of the tyre above the ground after its first contact
body_rise_mm | mm | greatest height of the body after the landing over its standing height
lost_motion_mm | mm | way out of the shaft without damping, until the empty space has closed
settle_s | s | last time the body is more than 1 mm and the drag's band from rest
energy.start_j | J | energy at first contact
energy.kinetic_j | J | still in motion when the body is lowest
energy.potential_j | J | potential energy then, below zero: the car is lower than at first contact
energy.spring_j | J | stored in the spring
energy.gas_j | J | stored in the gas
energy.void_j | J | stored in the empty space under the piston
energy.oil_j | J | turned into heat by the oil
energy.drag_j | J | taken by the seals
energy.tyre_j | J | stored and lost in the tyre
energy.stops_j | J | stored in the stops
energy.ground_j | J | stored and lost where the chassis meets the ground
time_s | s | time since the beginning
series.insertion_mm | mm | shaft insertion, from the uncut full length
series.speed_m_s | m/s | shaft speed, compression positive
series.shock_n | N | whole force of the shock, push positive
series.void_ml | ml | empty space under the piston
series.cap_kpa | kPa | pressure under the cap, absolute
series.clearance_mm | mm | chassis over the ground
series.tyre_n | N | force of the tyre
bench.force_n | N | force of pressures and seal drag, push positive
peak_compression_n | N | greatest push
peak_rebound_n | N | greatest pull, as a positive number
loss_j | J | energy lost in the last cycle
touch_height_mm | mm | fall from which the chassis just touches
touch_low_mm | mm | lowest touch height with the gas and void set to their bounds
touch_high_mm | mm | highest touch height with the gas and void set to their bounds
touch_tyre_low_mm | mm | touch height with the tyre's rate 30 % off, the lower
touch_tyre_high_mm | mm | touch height with the tyre's rate 30 % off, the higher
contact_share | 1 | share of the time in which the tyre touches the ground
mean_shift_mm | mm | mean wheel travel less that at rest, + = the car runs lower
tyre_load_variation | 1 | rms of the tyre's force about its mean, over the mean
body_movement_mm | mm | movement of the body, lowest to highest
shaft_speed_rms_m_s | m/s | rms of the shaft speed
power_w | W | power that one shock turns into heat
oil_rise_c | C | how much warmer than the air the shock gets after long
oil_rise_low_c | C | the same in the full stream of air
oil_rise_high_c | C | the same behind wheel and spring
viscosity_share_warm | 1 | viscosity of the oil then over that now
averaged_s | s | time over which the figures are taken
half_time_s | s | time until the body is half-way back
half_time_frames | 1 | the same in frames of a film at 240 a second
overshoot_mm | mm | greatest height of the body over rest
rest_error_mm | mm | how far from rest the seals' drag holds the body, + = lower
release_settle_s | s | last time the body is more than 1 mm and the drag's band from rest
figure_a | 1 | figure of the first, in the unit beside it
figure_b | 1 | figure of the second, in the unit beside it
change_gain | 1 | how far a change goes the way that the question wants, in least differences that count; 0 without one
concern | 1 | how near to wrong the figure is: 1 and more is wrong, 0 and less is fine
row_place | 1 | place of the row among the rows, the first is 0
changes_considered | 1 | number of single changes that were worked out
column.values | 1 | value of each row, in the unit beside it
sweep.rows | 1 | number of rows
sweep.failed | 1 | number of rows that could not be computed
input.nominal | 1 | the value as given or assumed, in the unit beside it
input.sd | 1 | standard deviation of what is drawn, in the unit beside it
band.nominal | 1 | output of the request as it stands, in the unit beside it
band.mean | 1 | mean of the draws, in the unit beside it
band.sd | 1 | standard deviation of the draws, in the unit beside it
band.low_5 | 1 | a twentieth of the draws lies below, in the unit beside it
band.high_95 | 1 | a twentieth of the draws lies above, in the unit beside it
band.remainder | 1 | share of the variance that no input explains by itself
band.sd_when_measured | 1 | standard deviation once `measure_next` is measured, in the unit beside it
variance.share | 1 | share of the whole that is one input's own
ranges.low | 1 | lowest output over all ends of the ranges and along each alone, in the unit beside it
ranges.high | 1 | highest output over all ends of the ranges and along each alone, in the unit beside it
draws.samples | 1 | number of draws
draws.impossible | 1 | draws whose set-up cannot be, left out
compared.reference | 1 | the figure of the reference, in the unit beside it
compared.candidate | 1 | the figure of the candidate, in the unit beside it
compared.difference | 1 | candidate less reference, in the unit beside it
compared.ratio | 1 | candidate over reference
compared.interaction | 1 | what the causes alone do not add up to, in the unit beside it
compared.error | 1 | standard deviation of the difference from hole, oil, temperature, spring, tyre and mass
compared.error_if_apart | 1 | the same if the two set-ups shared no error
compared.slow_n | N | damping force at the slow speed, no void
compared.fast_n | N | damping force at the fast speed, no void
"""
