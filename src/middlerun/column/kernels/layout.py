"""Where each number lies in the kernel's arrays. One place; every kernel file imports from here.

State vector z: blocks of BLOCK numbers for the pot, the plates from the bottom up, the dephlegmator's stages from
below; then the head's control loop; then what depends on the column but never acts back on it.
"""

# --- one block ---
BLOCK = 5
H = 0  # J, enthalpy of liquid and metal above 0 Cel
P = 1  # Pa, pressure over the stage
X = 2  # pot: jacket temperature, Cel; plate: weir setting, m3 hot; dephlegmator: its water's outlet, Cel
E = 3  # mol ethanol
W = 4  # mol water

# --- control loop of the head (offsets behind the blocks) ---
C_SENSOR = 0  # Cel, head thermometer
C_INTEGRAL = 1  # kg/s
C_FLOW = 2  # kg/s, dephlegmator water
N_CONTROL = 3

# --- downstream (offsets behind the control loop) ---
D_WATER = 0  # Cel, condenser water out
D_INTEGRAL = 1  # kg/s
D_FLOW = 2  # kg/s, condenser water
D_PARROT_E = 3  # mol
D_PARROT_W = 4  # mol
D_PARROT_T = 5  # Cel
D_POT_SENSOR = 6  # Cel
D_STRENGTH_SENSOR = 7  # 1
D_COLLECTED_E = 8  # mol, in this phase
D_COLLECTED_W = 9  # mol, in this phase
N_FILTER = 10  # the states above are under error control, those below are integrals
D_LOST_E = 10  # mol left as vapour
D_LOST_W = 11  # mol left as vapour
D_HEATER = 12  # J
D_LOSS = 13  # J
D_RELIEF = 14  # J
D_DEPHLEGMATOR = 15  # J carried off by its water
D_TOP = 16  # J carried off by the distillate's vapour
D_CONDENSER = 17  # J carried off by the condenser's water
D_WATER_DEPHLEGMATOR = 18  # kg
D_WATER_CONDENSER = 19  # kg
N_DOWN = 20

# --- parameters of one stage (columns of `stages`) ---
S_FLASH = 0  # mol/(s K), evaporation per kelvin of overheat
S_FILM = 1  # mol, below which evaporation dies away
S_CAPACITY = 2  # J/K, metal and solids
S_LOSS = 3  # W/K to the room
S_OVERFLOW = 4  # 1/s, rate of the overflow; 0 for the pot
S_LEAK = 5  # 1/s, rate at which the stage leaks empty without vapour
S_WEEP = 6  # s/mol, 1 over the vapour at which leaking is halved; 0: always leaks
S_FLOOD = 7  # s/mol, 1 over the flooding vapour
S_ENTRAIN = 8  # 1, loss of efficiency at flooding
S_UNDRAINED = 9  # s/mol, 1 over the vapour that keeps liquid from running down
S_TRANSFER = 10  # 1/m3, transfer units per hot volume held
S_DRY = 11  # Pa s2/mol2, dry pressure drop for vapour arriving
S_WET = 12  # Pa/kg, pressure of the liquid held
S_LEVEL = 13  # m3, fixed part of the level
S_LEVEL_X = 14  # 1, share of the block's X in the level (1 for plates)
S_LEVEL_RATE = 15  # 1/s, rate at which a weir is moved (plates)
S_SOFT = 16  # m3, rounding of the weir's edge
S_BOIL_RISE = 17  # K mol, boiling point rise times moles of water (pot)
S_WALL = 18  # 1, transfer units of the wetted wall, without any liquid held
N_STAGE = 19

# --- numbers of the whole run (`world`) ---
G_PRESSURE = 0  # Pa ambient
G_ROOM = 1  # Cel
G_WATER = 2  # Cel, cooling water in
G_SOFT_V = 3  # mol/s, rounding of the vapour's onset
G_POT_DRY = 4  # mol in the pot below which it has boiled dry
G_PRESSURE_RATE = 5  # 1/s, rate at which pressures follow
G_TOP_DROP = 6  # Pa s2/mol2, vapour pipe and condenser
G_UA = 7  # W/K jacket to boiling charge
G_HALF_BOIL = 8  # mol/s, vapour at which the boil has done half of its stirring
G_JACKET = 9  # J/K
G_JACKET_LOSS = 10  # W/K
G_FLUE = 11  # 1, share lost up the flue
G_RELIEF = 12  # W/Pa
G_RELIEF_SOFT = 13  # Pa
G_DEPH_UA = 14  # W/K per stage
G_DEPH_CELLS = 15  # 1 per stage
G_DEPH_WATER = 16  # kg per stage
G_COND_UA = 17  # W/K
G_COND_CELLS = 18
G_COND_WATER = 19  # kg
G_PARROT = 20  # m3
G_PARROT_RATE = 21  # 1/s, rate of its overflow
G_PARROT_HEAT = 22  # 1/s
G_POT_SENSOR = 23  # 1/s
G_HEAD_SENSOR = 24  # 1/s
G_STRENGTH_SENSOR = 25  # 1/s
G_VALVE = 26  # 1/s
G_DEPH_MIN = 27  # kg/s
G_DEPH_MAX = 28  # kg/s
G_COND_MIN = 29  # kg/s
G_COND_MAX = 30  # kg/s
G_CHARGE_LPA = 31  # m3 pure alcohol at 20 Cel in the charge
G_STEAM = 32  # 1, share of the relief that acts (0: no closed jacket)
G_DEPH_FLOOR = 33  # W/K, see `basics.exchanger`
G_COND_FLOOR = 34  # W/K
N_WORLD = 35

# --- numbers of one phase (columns of `phases`) ---
F_HEATER = 0  # W
F_JACKET_SET = 1  # Cel
F_COLD_SHARE = 2  # 1
F_RELIEF_SET = 3  # Pa gauge
F_HEAD_SET = 4  # Cel
F_HEAD_GAIN = 5  # kg/(s K); 0 when not held
F_HEAD_RESET = 6  # kg/(s2 K), gain over integral time
F_HEAD_TRACK = 7  # 1/s, anti-windup
F_DEPH_FLOW = 8  # kg/s, start or fixed; NaN: go on
F_COND_SET = 9  # Cel
F_COND_GAIN = 10
F_COND_RESET = 11
F_COND_TRACK = 12
F_COND_FLOW = 13
F_AT_MOST = 14  # s
F_HEAD_START = 15  # kg/s, most with which holding begins
N_PHASE = 16

# --- algebraic values of one stage (columns of `values`) ---
V_VAPOUR = 0  # mol/s leaving
V_ETHANOL = 1  # mol/s of it
V_HEAT = 2  # W it carries
V_LIQUID = 3  # mol/s running down
V_LIQUID_E = 4
V_LIQUID_W = 5
V_LIQUID_H = 6
V_T = 7  # Cel
V_X = 8
V_VOLUME = 9  # m3 hot
V_EFFICIENCY = 10
N_VALUES = 11

# --- report row: fixed part, then PER_STAGE numbers a stage ---
R_TIME = 0
R_PHASE = 1
R_HEATER = 2
R_TO_POT = 3
R_LOSS = 4
R_RELIEF = 5
R_DEPH_HEAT = 6
R_COND_HEAT = 7
R_COND_SHARE = 8  # heat that must be taken over heat that could be
R_UNCONDENSED = 9
R_PRODUCT_T = 10
R_PRODUCT_E = 11  # mol/s condensed
R_PRODUCT_W = 12
R_OUT_E = 13  # mol/s out of the parrot
R_OUT_W = 14
R_JACKET = 15  # Cel
R_DEPH_OUT = 16  # Cel
R_STATE = 17  # then control and downstream states
N_REPORT = R_STATE + N_CONTROL + N_DOWN
Q_T = 0
Q_X = 1
Q_VOLUME = 2
Q_LEVEL = 3
Q_VAPOUR = 4
Q_ETHANOL = 5
Q_LIQUID = 6
Q_PRESSURE = 7
Q_EFFICIENCY = 8
PER_STAGE = 9

# --- physical constants (SI; exact or rounded far below the model's own error) ---
M_E = 0.0460684  # kg/mol, ethanol
M_W = 0.01801528  # kg/mol, water
CP_WATER = 4186.0  # J/(kg K), cooling and jacket water near 30 Cel
ZERO_C = 273.15
