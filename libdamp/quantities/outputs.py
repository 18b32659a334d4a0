"""What is answered: one row a quantity; name | unit | meaning."""

ROWS = """
value | 1 | the converted value, in the unit beside it
viscosity_now_cst | cSt | kinematic viscosity at the asked temperature
dynamic_mpa_s | mPa s | dynamic viscosity at the asked temperature
density_now_kg_m3 | kg/m3 | density at the asked temperature
viscosity_25_cst | cSt | kinematic viscosity at 25 C
thick_share_volume | 1 | share of the thick oil by volume
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
share_1 | 1 | a share of the whole
builds | 1 | number of builds
short_by | 1 | by how much the nearest build misses, in the unit beside it
"""
