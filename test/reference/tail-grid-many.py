"""Tails of chi-square and Student with a great many degrees of freedom, and Fisher's exact test of
large tables, in arithmetic of 35 digits.

    python3 tail-grid-many.py > tail-grid-many.json

Needs mpmath (values made with 1.3.0). Tails are integrals of the density by double-exponential
quadrature, from the argument outwards in pieces over which the density changes little, so that
nothing cancels; Fisher's p values are sums over every table of probabilities from exact factorials.
"""
import json
import mpmath as mp

mp.mp.dps = 35


def outward(log_density, start, step, sign):
    """The tail from start on, in pieces, until one adds nothing."""
    total, at = mp.mpf(0), mp.mpf(start)
    for _ in range(400):
        to = at + sign * step
        part = abs(mp.quad(lambda x: mp.exp(log_density(x)), [at, to]))
        total += part
        if part < total * mp.mpf(10) ** -25:
            return total
        at = to
    raise ValueError("no end")


def chi_square(x, df, sign):
    half = mp.mpf(df) / 2
    norm = -half * mp.log(2) - mp.loggamma(half)
    return outward(lambda v: norm + (half - 1) * mp.log(v) - v / 2, x, mp.sqrt(2 * df) / (4 + 4 * abs(x - df) / mp.sqrt(2 * df)), sign)


def student(t, df):
    df = mp.mpf(df)
    norm = mp.loggamma((df + 1) / 2) - mp.loggamma(df / 2) - mp.log(df * mp.pi) / 2
    return outward(lambda v: norm - (df + 1) / 2 * mp.log1p(v * v / df), t, 1 / (4 + 4 * mp.mpf(t)), 1)


def fisher(table):
    (a, b), (c, d) = table
    row, other, column, n = a + b, c + d, a + c, a + b + c + d
    fact = lambda k: mp.loggamma(k + 1)
    fixed = fact(row) + fact(other) + fact(column) + fact(n - column) - fact(n)
    log_p = lambda k: fixed - fact(k) - fact(row - k) - fact(column - k) - fact(other - column + k)
    least, most = max(0, column - other), min(row, column)
    own = log_p(a)
    # far from the mode nothing is left: stop at 1e-60 of the observed table
    total = mp.mpf(0)
    mode = (row + 1) * (column + 1) // (n + 2)
    for ks in (range(mode, most + 1), range(mode - 1, least - 1, -1)):
        for k in ks:
            value = log_p(k)
            if value <= own + mp.mpf(10) ** -7:
                total += mp.exp(value)
                if value < own - 100:
                    break
    return total


def digits(value):
    return mp.nstr(value, 20, min_fixed=0, max_fixed=0)


chi = []
for df in (1e6, 1e7):
    for z in (-35, -6, -1, 0, 1, 6, 20, 35):
        x = float(round(df + z * (2 * df) ** 0.5))
        row = {"x": x, "df": df}
        row["lower" if z < 0 else "upper"] = digits(chi_square(x, df, -1 if z < 0 else 1))
        chi.append(row)
students = [{"t": t, "df": df, "upper": digits(student(t, df))}
            for df in (1e5, 1e6, 1e7, 1e10, 1e20) for t in (0.01, 1.0, 1.96, 6.0, 12.0, 35.0)]
tables = [[[1250, 48750], [1100, 48900]], [[30, 59970], [9, 39991]],
          [[6100, 243900], [5800, 244200]], [[260, 249740], [199, 249801]]]
print(json.dumps({
    "source": f"test/reference/tail-grid-many.py with mpmath {mp.__version__}, 35 digits",
    "chiSquare": chi,
    "student": students,
    "fisher": [{"table": table, "twoSided": digits(fisher(table))} for table in tables],
}, indent=1))
