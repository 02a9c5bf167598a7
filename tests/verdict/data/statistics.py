# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes statistics.csv beside this file with SciPy, an independent library. Not needed to build or to test.

Run: python3 statistics.py > statistics.csv   (made with SciPy 1.10.1, NumPy 1.24.2)
"""
import numpy
import scipy
from scipy import optimize, stats

samples = {
    "before": [0.82, 0.77, 0.91, 0.80, 0.86, 0.79],
    "after": [0.58, 0.55, 0.66, 0.60, 0.57, 0.56],
    "three": [1.21, 0.94, 1.33],
    "seven": [0.71, 0.73, 0.69, 0.75, 0.70, 0.72, 0.74],
}
pairs = [("before", "after"), ("after", "before")]
unequal = [("three", "seven"), ("seven", "three"), ("before", "seven")]


def show(test, first, second, quantity, parameter, value):
    print(f"value,{test},{first},{second},{quantity},{parameter:g},{value:.12g}")


print("# SciPy", scipy.__version__, "NumPy", numpy.__version__)
for name, values in samples.items():
    print("sample," + name + "," + " ".join(str(v) for v in values))
for first, second in pairs:
    d = numpy.log(samples[second]) - numpy.log(samples[first])
    result = stats.ttest_1samp(d, 0)
    interval = result.confidence_interval(0.95)
    show("paired", first, second, "p", 0, result.pvalue)
    show("paired", first, second, "low", 0.95, interval.low)
    show("paired", first, second, "high", 0.95, interval.high)
    for margin in (0.3, 0.4, 0.5):
        p = max(stats.ttest_1samp(d, -margin, alternative="greater").pvalue,
                stats.ttest_1samp(d, margin, alternative="less").pvalue)
        show("paired", first, second, "equivalence_p", margin, p)
    error, df = stats.sem(d), len(d) - 1
    for level in (0.05, 0.05 / 8, 0.05 / 27):
        c = stats.t.isf(level / 2, df)
        shift = optimize.brentq(lambda x: stats.nct.sf(c, df, x) - 0.8, 0, 100, xtol=1e-13)
        show("paired", first, second, "smallest_showable", level, shift * error)
for first, second in unequal:
    x, y = numpy.array(samples[first]), numpy.array(samples[second])
    result = stats.ttest_ind(y, x, equal_var=False)
    vx, vy = x.var(ddof=1) / len(x), y.var(ddof=1) / len(y)
    df = (vx + vy) ** 2 / (vx**2 / (len(x) - 1) + vy**2 / (len(y) - 1))
    half = stats.t.isf(0.025, df) * numpy.sqrt(vx + vy)
    show("welch", first, second, "p", 0, result.pvalue)
    show("welch", first, second, "low", 0.95, y.mean() - x.mean() - half)
    show("welch", first, second, "high", 0.95, y.mean() - x.mean() + half)
