%
(Fenwren, a trial, sheet 1 of 2, 2 pieces)
(balsa-medium 2.5 mm, 1000 x 100 mm, grain along x)
(cutter 1.5 mm, 18000 turns a minute, feed 900 mm/min, plunge 300 mm/min)
(origin: lower left corner of the sheet, z 0 on its face, travel at 3 mm)
(cuts 0.3 mm below the sheet: put waste board under it)
(for trial-router, by post router-inch)
(CAUTION: eye protection on, wood held down firmly, hands clear of the cutter, never leave it alone.)
(Take the dust away: wood dust harms the lungs and burns.)
(Feeds, depths and powers are starting points: try a coupon. The shop's rules and the machine's manual come first.)
G20 G17 G90 G94
G40 G49 G80 G54
G0 Z0.11812
T1 M6
S18000 M3
G4 P3
(R1, mark)
G0 Z0.11812
X1.1811 Y0.74803
G1 Z-0.11024 F11.81
X1.33858 F118.11
G3 X1.33858 Y0.82677 I0 J0.03937
G1 X1.1811
G4 P0.25
G0 Z0.11812
(R1, score)
Y0.51181
G1 Z-0.11024 F11.81
X1.81102 F23.62
G4 P0.25
G0 Z0.11812
(R1, cut inside)
X1.02362 Y0.7874
G1 Z-0.11024 F11.81
G2 X0.70866 Y0.7874 I-0.15748 J0 F23.62
X1.02362 Y0.7874 I0.15748 J0
G4 P0.25
G0 Z0.11812
(R1, cut outside)
X0.47244 Y0.3937
G1 Z-0.11024 F11.81
X1.88976 F23.62
G3 X1.9685 Y0.47244 I0 J0.07874
G1 Y1.10236
G3 X1.88976 Y1.1811 I-0.07874 J0
G1 X0.47244
G3 X0.3937 Y1.10236 I0 J-0.07874
G1 Y0.47244
G3 X0.47244 Y0.3937 I0.07874 J0
G4 P0.25
G0 Z0.11812
(R1, mark)
X3.14961 Y0.84646
G1 Z-0.11024 F11.81
X3.30709 F118.11
G2 X3.30709 Y0.76772 I0 J-0.03937
G1 X3.14961
G4 P0.25
G0 Z0.11812
(R1, score)
Y1.08268
G1 Z-0.11024 F11.81
X3.77953 F23.62
G4 P0.25
G0 Z0.11812
(R1, cut inside)
X2.99213 Y0.80709
G1 Z-0.11024 F11.81
G2 X2.67717 Y0.80709 I-0.15748 J0 F23.62
X2.99213 Y0.80709 I0.15748 J0
G4 P0.25
G0 Z0.11812
(R1, cut outside)
X2.44094 Y1.20079
G1 Z-0.11024 F11.81
G3 X2.3622 Y1.12205 I0 J-0.07874 F23.62
G1 Y0.49213
G3 X2.44094 Y0.41339 I0.07874 J0
G1 X3.85827
G3 X3.93701 Y0.49213 I0 J0.07874
G1 Y1.12205
G3 X3.85827 Y1.20079 I-0.07874 J0
G1 X2.44094
G4 P0.25
G0 Z0.11812
G0 Z0.11812
M5
M30
%
