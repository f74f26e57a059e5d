"""Writes the reference cases of load, fuel, fuel quality, drums, strip, apron, ground and start
that are computed.

    python3 crates/calc/testdata/exact

Everything is exact: fractions where the answer is rational, mpmath with 50 digits where a
square root comes in. Nothing here follows the program's way of computing: the burn path is
flown step by step and its worst point is searched, not solved; the greatest mass is found by
bisection on the forward reading; what a chock holds is searched among all states of rest.
Needs mpmath (written with 1.3.0).
"""

import burn
import drum
import fuel
import ground
import load
import plane
import quality
import start
import strip

for topic in (burn, load, fuel, quality, drum, strip, plane, ground, start):
    topic.write()
