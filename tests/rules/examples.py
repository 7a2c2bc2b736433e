"""Rules files that use the whole format."""

FULL = """\
ungape: 1
design: summer bodice
patterns: "bodice-{size}.svg"
out: fixed
sizes: ["10", 12, 00]
units: cm
allowance: {default: 15 mm, neckline: 6 mm}
names: {front: [Vorderteil, devant], size: Größe}
user unit: 1 mm
find: {"size 10": "[stroke-dasharray='4 2']", "front/cut line": "#path22"}
finish: {draw back: 25 mm}
edges:
  front:
    neckline: [neck point, centre front neck]
    side seam: [[underarm point, upper leg], [lower leg, side hem]]
    bust dart: [upper leg, dart point, lower leg]
removals:
  - name: neck gape
    piece: front
    edge: neckline
    from: shoulder
    distance: 11
    pinched: 1
    measured: across
    pivot: apex
    opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 6 cm}
    finish: {draw back: 25 mm, press: down, trim: 15 mm}
    hold: centre front
    line: straight
    again: yes
  - piece: front
    edge: armhole
    from: shoulder
    distance: 40%
    removed: {at: "12", amount: 5/8 in, step: -0.5 mm}
    pivot: {dart: bust dart}
  - piece: front
    edge: armhole
    from: side seam
    distance: {"10": 9 mm, 12: 10 mm, 00: 11 mm}
    removed: {at: 12, amount: 10 mm, keep: angle}
    pivot: {edge: neckline, from: shoulder, distance: 1 3/8"}
  - piece: back
    edge: neckline
    from: shoulder
    distance: 20 mm
    removed: 8 mm
    pivot: {apex: shoulder blade}
    opens: [{dart: neck dart, share: 60%}, {dart: waist dart, share: 40%}]
    finish: {take out at: hem, to: centre back}
linked:
  - {piece: front facing, follows: front, along: neckline}
  - {piece: lining, follows: front, along: [neckline, armhole], dart: sewn, tolerance: 1 mm}
  - {strip: neck binding, follows: [front/neckline x 2, back/neckline x 2], ratio: 0.95}
seams:
  - join: [front/side seam, back/side seam]
    tolerance: 1 mm
  - join: [front/armhole + back/armhole, '"a/b x 2"/cap']
    ease: 10 mm .. 25 mm
accept:
  - {kind: wide dart, piece: front, why: sewn in two steps}
revision: {mark: "B", date: 2026-11-25}
"""

SMALL = """\
ungape: 1
patterns: [a.svg]
out: fixed
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 50, removed: 10, pivot: {dart: bust dart}}
"""

GRADED = """\
ungape: 1
design: coat
patterns: ["coat-{size}.svg", "lining/{piece} {size}.svg"]
out: altered/coat
sizes: [S, M, L]
units: in
allowance: {S: 5/8, M: 5/8, L: 3/4}
edges:
find: {}
removals:
linked:
accept:
seams:
  - join: ["front/side seam", "back/side seam"]
    ease: {S: 0, M: 1/8 .. 1/4, L: 1/4 in .. 3/8 in}
    tolerance: {at: m, amount: 1/16, step: 1/64}
  - join: [front/armhole + back/armhole, sleeve/cap]
    ease: {at: M, amount: 1 .. 1 1/2, step: -1/8}
  - join: [front/hem x 2, band/hem]
    ease: -1/8
"""
