"""Pure calculation: plain numbers in, plain numbers out; no files, no clock, no lathe state.

Units of the core, everywhere: mm, turns, minutes, newtons, kilowatts, degrees;
feed in mm per turn, surface speed in m/min, spindle speed in turns per minute.
"""
