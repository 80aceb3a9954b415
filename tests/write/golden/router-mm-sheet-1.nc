%
(Fenwren, a trial, sheet 1 of 2, 2 pieces)
(balsa-medium 2.5 mm, 1000 x 100 mm, grain along x)
(cutter 1.5 mm, 18000 turns a minute, feed 900 mm/min, plunge 300 mm/min)
(origin: lower left corner of the sheet, z 0 on its face, travel at 3 mm)
(cuts 0.3 mm below the sheet: put waste board under it)
(for trial-router, by post router-mm)
(CAUTION: eye protection on, wood held down firmly, hands clear of the cutter, never leave it alone.)
(Take the dust away: wood dust harms the lungs and burns.)
(Feeds, depths and powers are starting points: try a coupon. The shop's rules and the machine's manual come first.)
G21 G17 G90 G94
G40 G49 G80 G54
G0 Z3
T1 M6
S18000 M3
G4 P3
(R1, mark)
G0 Z3
X30 Y19
G1 Z-2.8 F300
X34 F3000
G3 X34 Y21 I0 J1
G1 X30
G4 P0.25
G0 Z3
(R1, score)
Y13
G1 Z-2.8 F300
X46 F600
G4 P0.25
G0 Z3
(R1, cut inside)
X26 Y20
G1 Z-2.8 F300
G2 X18 Y20 I-4 J0 F600
X26 Y20 I4 J0
G4 P0.25
G0 Z3
(R1, cut outside)
X12 Y10
G1 Z-2.8 F300
X48 F600
G3 X50 Y12 I0 J2
G1 Y28
G3 X48 Y30 I-2 J0
G1 X12
G3 X10 Y28 I0 J-2
G1 Y12
G3 X12 Y10 I2 J0
G4 P0.25
G0 Z3
(R1, mark)
X80 Y21.5
G1 Z-2.8 F300
X84 F3000
G2 X84 Y19.5 I0 J-1
G1 X80
G4 P0.25
G0 Z3
(R1, score)
Y27.5
G1 Z-2.8 F300
X96 F600
G4 P0.25
G0 Z3
(R1, cut inside)
X76 Y20.5
G1 Z-2.8 F300
G2 X68 Y20.5 I-4 J0 F600
X76 Y20.5 I4 J0
G4 P0.25
G0 Z3
(R1, cut outside)
X62 Y30.5
G1 Z-2.8 F300
G3 X60 Y28.5 I0 J-2 F600
G1 Y12.5
G3 X62 Y10.5 I2 J0
G1 X98
G3 X100 Y12.5 I0 J2
G1 Y28.5
G3 X98 Y30.5 I-2 J0
G1 X62
G4 P0.25
G0 Z3
G0 Z3
M5
M30
%
