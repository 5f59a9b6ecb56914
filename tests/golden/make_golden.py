"""Makes golden.json: reference values from SciPy and NumPy for tests of the statistics.

Run: python3 make_golden.py > golden.json   (versions are recorded in the file)
"""
import json
import sys

import numpy as np
import scipy
from scipy import integrate, optimize, stats

rng = np.random.default_rng(20261125)


def welch(a, b):
    test = stats.ttest_ind(b, a, equal_var=False)
    wide = test.confidence_interval(0.95)
    narrow = test.confidence_interval(0.90)
    return [wide.low, wide.high, narrow.low, narrow.high]


def bca(a, b):
    def difference(x, y, axis):
        return np.mean(y, axis=axis) - np.mean(x, axis=axis)

    result = stats.bootstrap((a, b), difference, n_resamples=200_000, method="BCa", vectorized=True, rng=7)
    return [result.confidence_interval.low, result.confidence_interval.high]


def tolerance_factor(n, coverage, confidence):
    def half_width(z):
        return optimize.brentq(lambda r: stats.norm.cdf(z + r) - stats.norm.cdf(z - r) - coverage, 0, z + 20)

    def reached(k):
        density = lambda z: stats.chi2.sf((n - 1) * half_width(z) ** 2 / k**2, n - 1) * stats.norm.pdf(z, scale=1 / np.sqrt(n))
        return 2 * integrate.quad(density, 0, 8 / np.sqrt(n), epsabs=1e-12)[0]

    return optimize.brentq(lambda k: reached(k) - confidence, 0.5, 400)


pairs = []
for n_a, n_b in [(2, 2), (3, 5), (4, 4), (6, 9)]:
    a = np.round(rng.normal(7.4, 0.2, n_a), 3)
    b = np.round(rng.normal(7.2, 0.35, n_b), 3)
    pairs.append({"before": a.tolist(), "after": b.tolist(), "welch": welch(a, b)})

boots = []
for n_a, n_b in [(20, 24), (25, 40)]:
    a = np.round(rng.gamma(4.0, 1.0, n_a), 3)
    b = np.round(rng.gamma(4.0, 1.3, n_b), 3)
    boots.append({"before": a.tolist(), "after": b.tolist(), "bca95": bca(a, b)})

golden = {
    "made_with": {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__},
    "welch": pairs,
    "bootstrap": boots,
    "tolerance": [[n, p, c, tolerance_factor(n, p, c)] for n in (2, 3, 5, 10, 30) for p, c in ((0.95, 0.95), (0.9, 0.99))],
    "t_quantile": [[p, d, stats.t.ppf(p, d)] for p in (0.9, 0.95, 0.975) for d in (1.0, 2.7, 9.0, 120.5)],
    "chi_squared_cdf": [[x, d, stats.chi2.cdf(x, d)] for x in (0.1, 3.0, 25.0) for d in (1, 4, 30)],
    "normal": [[p, stats.norm.ppf(p)] for p in (0.025, 0.5, 0.95, 0.999)],
}
json.dump(golden, sys.stdout, indent=1)
