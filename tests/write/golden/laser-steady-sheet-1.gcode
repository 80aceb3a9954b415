; Fenwren, a trial, sheet 1 of 2, 2 pieces
; balsa-medium 2.5 mm, 1000 x 100 mm, grain along x
; kerf 0.15 mm, power 55 percent, passes 1, feed 600 mm/min
; origin: lower left corner of the sheet
; for trial-laser, by post laser-steady, steady power
; CAUTION: stay with the laser while it cuts, watch for fire, extinguisher at hand.
; Extraction on: the smoke of wood and glue is harmful. Eyes behind the cover or filter for this beam.
; Feeds, depths and powers are starting points: try a coupon. The shop's rules and the machine's manual come first.
G21 G17 G90 G94
M5
; R1, mark
G0 X30 Y19
M3 S125
G1 X34 F3000
G3 X34 Y21 I0 J1
G1 X30
M5
; R1, score
G0 Y13
M3 S550
G1 X46 F600
M5
; R1, cut inside
G0 X26 Y20
M3 S550
G2 X18 Y20 I-4 J0
X26 Y20 I4 J0
M5
; R1, cut outside
G0 X12 Y10
M3 S550
G1 X48
G3 X50 Y12 I0 J2
G1 Y28
G3 X48 Y30 I-2 J0
G1 X12
G3 X10 Y28 I0 J-2
G1 Y12
G3 X12 Y10 I2 J0
M5
; R1, mark
G0 X80 Y21.5
M3 S125
G1 X84 F3000
G2 X84 Y19.5 I0 J-1
G1 X80
M5
; R1, score
G0 Y27.5
M3 S550
G1 X96 F600
M5
; R1, cut inside
G0 X76 Y20.5
M3 S550
G2 X68 Y20.5 I-4 J0
X76 Y20.5 I4 J0
M5
; R1, cut outside
G0 X62 Y30.5
M3 S550
G3 X60 Y28.5 I0 J-2
G1 Y12.5
G3 X62 Y10.5 I2 J0
G1 X98
G3 X100 Y12.5 I0 J2
G1 Y28.5
G3 X98 Y30.5 I-2 J0
G1 X62
M5
M5
M5
M2
