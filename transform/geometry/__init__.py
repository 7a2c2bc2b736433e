"""Curves and rigid motions; knows neither SVG nor garments.

Points are complex numbers, x + y·j, in mm, with y downward; angles are in radians and positive
from the x axis towards the y axis (clockwise to the eye).
"""
