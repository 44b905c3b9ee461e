"""Tails of chi-square, Student, F and beta over a grid, in arithmetic of 400 digits.

    python3 tail-grid.py > tail-grid.json

Needs mpmath (values made with 1.3.0). Every tail is a series of positive terms, so that nothing
cancels; the other tail is one minus it, in 400 digits, of which more than 60 are left at 1e-290.
Arguments are the doubles nearest to round numbers, and enter as exactly those doubles.

  gamma: P(a, x) = x^a e^-x / Gamma(a + 1) * sum_n x^n / ((a + 1) ... (a + n))
  beta:  I_x(a, b) = x^a (1 - x)^b / (a B(a, b)) * sum_n (a + b)_n / (a + 1)_n x^n
"""
import json
import mpmath as mp

mp.mp.dps = 400
SMALL = mp.mpf(10) ** -390


def series(first, ratio):
    total, term, n = mp.mpf(0), mp.mpf(first), 0
    while True:
        total += term
        n += 1
        term *= ratio(n)
        if term < total * SMALL:
            return total


def gamma_lower(a, x):
    head = mp.exp(a * mp.log(x) - x - mp.loggamma(a + 1))
    return head * series(1, lambda n: x / (a + n))


def gamma_tails(x, df):
    a, half = mp.mpf(df) / 2, mp.mpf(x) / 2
    lower = gamma_lower(a, half)
    return lower, 1 - lower


def beta_lower(x, y, a, b):
    """Of x, with y = 1 - x; the series of whichever is the smaller."""
    if x > y:
        return 1 - beta_lower(y, x, b, a)
    head = mp.exp(a * mp.log(x) + b * mp.log(y) - mp.log(a) - mp.loggamma(a) - mp.loggamma(b)
                  + mp.loggamma(a + b))
    return head * series(1, lambda n: (a + b + n - 1) / (a + n) * x)


def digits(value):
    return mp.nstr(value, 25, min_fixed=0, max_fixed=0)


def wilson_hilferty(df, z):
    c = 2 / (9 * df)
    return df * max(1 - c + z * c ** 0.5, 0.02) ** 3


rows = {"chiSquare": [], "student": [], "f": [], "beta": []}
for df in [0.1, 0.5, 1, 2, 3.7, 10, 100, 2410, 1e4, 1e5]:
    points = {float("%.4g" % wilson_hilferty(df, z)) for z in (-6, -2, 0, 2, 6, 12, 25, 34)}
    points |= {float("%.3g" % (1e-3 * df)), 1200.0 if df < 500 else float("%.4g" % (1.2 * df))}
    for x in sorted(points):
        lower, upper = gamma_tails(x, df)
        rows["chiSquare"].append({"x": x, "df": df, "lower": digits(lower), "upper": digits(upper)})
for df in [0.1, 0.5, 1, 2, 3.7, 10, 100, 1e4]:
    far = [1e199, 1e200, 3e280] if df == 1 else []
    for t in [0.01, 0.5, 2, 10, 40, 1e4, 1e10, 1e28] + far:
        square = mp.mpf(t) ** 2
        rest = mp.mpf(df) / (df + square)
        upper = beta_lower(rest, 1 - rest, mp.mpf(df) / 2, mp.mpf(1) / 2) / 2
        rows["student"].append({"t": t, "df": df, "upper": digits(upper)})
for d1 in [0.1, 0.4, 0.9, 1, 5, 60]:
    for d2 in [0.1, 0.4, 0.9, 2, 30, 500]:
        for x in [1e-8, 0.3, 1, 7, 1e3, 1e50, 1e280]:
            ratio = mp.mpf(d1) / d2 * mp.mpf(x)
            rest, share = 1 / (1 + ratio), ratio / (1 + ratio)
            upper = beta_lower(rest, share, mp.mpf(d2) / 2, mp.mpf(d1) / 2)
            rows["f"].append({"x": x, "d1": d1, "d2": d2, "upper": digits(upper)})
for a in [0.05, 0.2, 0.45, 1, 3, 40, 800]:
    for b in [0.05, 0.2, 0.45, 1, 3, 40, 800]:
        for x in [1e-290, 1e-60, 1e-8, 0.02, 0.4, 0.5, 0.93]:
            lower = beta_lower(mp.mpf(x), 1 - mp.mpf(x), mp.mpf(a), mp.mpf(b))
            rows["beta"].append({"x": x, "a": a, "b": b, "lower": digits(lower),
                                 "upper": digits(1 - lower)})


def within(row):
    """Tails that a double can have, and that are promised: above 1e-290."""
    return {key: value for key, value in row.items()
            if key not in ("lower", "upper") or mp.mpf(value) > mp.mpf(10) ** -290}


kept = {name: [within(row) for row in table] for name, table in rows.items()}
parts = {"source": f"test/reference/tail-grid.py with mpmath {mp.__version__}, 400 digits", **kept}
print("{\n" + ",\n".join(
    json.dumps(name) + ": " + (json.dumps(part) if isinstance(part, str) else
                               "[\n" + ",\n".join(json.dumps(row) for row in part) + "\n]")
    for name, part in parts.items()) + "\n}")
