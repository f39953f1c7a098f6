"""Saturation pressure over water by python3-iapws, for the speed report.

vapour.py SECONDS < temperatures in degrees Celsius, one a line. Prints JSON.
"""
import json
import math
import sys
import timeit

import iapws
from iapws.iapws97 import _PSat_T

temps = [float(line) for line in sys.stdin]
seconds = float(sys.argv[1])


def best(f, calls):
    """The shortest time of one call in nanoseconds."""
    once = min(timeit.repeat(f, number=1, repeat=3))
    repeat = max(3, int(seconds / max(once, 1e-9)))
    return min(timeit.repeat(f, number=1, repeat=min(repeat, 20000))) / calls * 1e9


def industrial():
    for t in temps:
        _PSat_T(t + 273.15)


few = temps[:: max(1, len(temps) // 3)]


def scientific():
    for t in few:
        iapws.IAPWS95(T=t + 273.15, x=0)


def bare():
    for t in temps:
        math.exp(t)


print(json.dumps({
    "version": iapws.__version__,
    "python": sys.version.split()[0],
    "if97_hpa": [_PSat_T(t + 273.15) * 1e4 for t in temps],
    "iapws95_hpa": [iapws.IAPWS95(T=t + 273.15, x=0).P * 1e4 for t in few],
    "iapws95_c": few,
    "if97_ns": best(industrial, len(temps)),
    "iapws95_ns": best(scientific, len(few)),
    "exp_ns": best(bare, len(temps)),
}))
