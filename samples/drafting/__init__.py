"""Drafts the three sample designs from one table of body measurements.

Data flows one way: `measurements` -> `block` -> a design (`wrap_blouse`, `shell`, `choir_bodice`), which
yields pieces -> `layers`, which say what is drawn of a piece -> a house style (`layered`, `nested`, `flat`),
which writes SVG. `python -m samples.drafting` writes the files that stand beside this folder.
"""
