"""Physical constants, SI. What is uncertain is no constant: it stands in the tables of coefficients."""

GRAVITY = 9.80665  # m/s², standard
ATMOSPHERE = 101_325.0  # Pa, standard, at sea level
GAS = 8.314462618  # J/mol·K
AIR_GAS = 287.05  # J/kg·K, dry air
FREEZING = 273.15  # K, 0 °C
ROOM_TEMPERATURE = 293.15  # K, 20 °C: what sheets, coefficients and "free air" mean here
AIR_DENSITY = ATMOSPHERE / (AIR_GAS * ROOM_TEMPERATURE)  # 1.204 kg/m³, of free air
AIR_VISCOSITY = 1.81e-5  # Pa·s, of air at 20 °C
