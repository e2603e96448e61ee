"""The wet spells of a log, as a plain script would find them: the yardstick of tests/bench/replay.cs.

Intervals of ten minutes; rain stamped at the start of one fell in the one before. Wet is one with rain, or of 90 % and above,
unless it is frozen. A spell begins with rain and ends when more than four hours have not been wet.
"""
import csv
import sys
from datetime import datetime

STEP = 600
LONGEST_GAP = 24  # Intervals.
air, rain = {}, {}
with open(sys.argv[1], newline="", encoding="utf-8") as log:
    for row in csv.DictReader(log):
        second = int(datetime.fromisoformat(row["time"]).timestamp())
        t, h, n = air.get(second // STEP, (0.0, 0.0, 0))
        air[second // STEP] = (t + float(row["temperature_c"]), h + float(row["humidity_pct"]), n + 1)
        fell = (second - 1) // STEP
        rain[fell] = rain.get(fell, 0.0) + float(row["rain_mm"])

spells = wet = 0
last = None
for interval in sorted(air):
    t, h, n = air[interval]
    fell = rain.get(interval, 0.0)
    if round(t / n, 6) < 0 or (fell == 0 and round(h / n, 6) < 90):
        continue
    if last is None or interval - last > LONGEST_GAP + 1:
        if fell == 0:
            continue
        spells += 1
    last = interval
    wet += 1
print(f"{spells} spells, {wet / 6:.1f} wet hours")
