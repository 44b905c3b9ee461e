# Second implementation of every case in cases-3.json, in plain Python/numpy/mpmath, sharing no code with the makers.
# Prints for each case the largest relative difference, and for simulated checks the difference in Monte-Carlo standard errors.
import json, csv, math, itertools, os, sys
from fractions import Fraction
import numpy as np, mpmath as mpm
from mpmath import mp, mpf
from scipy import special, stats
mp.dps = 40
ONLY = sys.argv[1:] 
cases = json.load(open('cases-3.json'))
Z = 1.9599639845400542
worst = {}
def num(v): return math.inf if v == 'Infinity' else -math.inf if v == '-Infinity' else v
class Check:
    def __init__(self, id): self.id, self.w, self.n, self.notes = id, 0.0, 0, []
    def __call__(self, got, want, floor=1e-9):
        g, w = np.ravel(np.array(got, dtype=object)), np.ravel(np.array(want, dtype=object)); assert len(g) == len(w), (self.id, len(g), len(w))
        for a, b in zip(g, w):
            b = num(b); self.n += 1
            if b is None: assert a is None or not math.isfinite(a), (self.id, a); continue
            if not math.isfinite(b): assert a == b; continue
            a = a if isinstance(a, type(mpf(1))) else float(a); self.w = max(self.w, float(abs(mpf(a) - mpf(b)) / max(abs(mpf(b)), floor)))
    def note(self, s): self.notes.append(s)
def table(f): return list(csv.DictReader(open(('data-3/' if os.path.exists('data-3/' + f) else 'data/') + f)))
def col(rows, k): return np.array([float(r[k]) for r in rows])
def names(s): return [x.strip() for x in s.split(':')[0].split(',')]
def rows_of(t): return [dict(zip(t, v)) for v in zip(*t.values())]
# ---- complex-step influence: the statistic as a function of the weights, differentiated to machine precision
def influence(stat, w):
    h = 1e-30; out = []
    for i in range(len(w)):
        z = w.astype(complex); z[i] += 1j * h; out.append(np.imag(np.atleast_1d(stat(z))) / h)
    return np.array(out) * w[:, None]
def wkm(time, ev, w, at, after=-math.inf):
    res = []; S = 1.0 + 0 * w[0]; us = np.unique(time[(ev == 1) & (time > after)]); k = 0
    for t in at:
        while k < len(us) and us[k] <= t:
            S = S * (1 - w[(time == us[k]) & (ev == 1)].sum() / w[time >= us[k]].sum()); k += 1
        res.append(S)
    return np.array(res)
def na(time, ev, w, at):
    return np.array([sum(w[(time == u) & (ev == 1)].sum() / w[time >= u].sum() for u in np.unique(time[ev == 1]) if u <= t) for t in at])
def ksd(x, w, binary): return None

def chi_square(c, k):
    e = c['expected']; t = e['tails']
    for df, x, lo, up in zip(*t.values()):
        if df > 2e5: continue                      # scipy's own tails are wrong by up to 7e-3 at df 1e7 near the mean; base R is right (verify-3.R)
        if lo < .9 : k(special.chdtr(df, x), lo, 1e-320) if lo > 1e-280 else None
        k(special.chdtrc(df, x), up, 1e-320)
    for df, p, x in zip(*e['upperQuantiles'].values()):
        if p > 1e-200: k(2 * special.gammainccinv(df / 2, p), x)
    k.note('scipy in double precision up to df 2e5; base R for all in verify-3.R')
def poisson(c, k):
    for x, cl, lo, up in zip(*c['expected'].values()):
        a = (1 - cl) / 2; k([special.gammaincinv(x, a), special.gammainccinv(x + 1, a)], [lo, up])
    k.note('scipy in double precision')
def fisher(c, k):
    for t, two, less, gr, pt in zip(*c['expected'].values()):
        (a, b), (cc, d) = t; n, r1, c1 = a + b + cc + d, a + b, a + cc
        # whole-number ratios, exact to 1e-60 by scaling
        one = 10 ** 80; lo, hi = max(0, c1 - (n - r1)), min(r1, c1); w = {a: one}; x = one
        for j in range(a, hi): x = x * ((c1 - j) * (r1 - j)) // ((j + 1) * (n - r1 - c1 + j + 1)); w[j + 1] = x
        x = one
        for j in range(a, lo, -1): x = x * (j * (n - r1 - c1 + j)) // ((c1 - j + 1) * (r1 - j + 1)); w[j - 1] = x
        tot = sum(w.values()); f = lambda s: float(mpf(s) / mpf(tot))
        k([f(sum(v for v in w.values() if v * 10**7 <= one * (10**7 + 1))), f(sum(v for j, v in w.items() if j <= a)), f(sum(v for j, v in w.items() if j >= a)), f(one)], [two, less, gr, pt], 1e-310)
    k.note('integer arithmetic scaled by 1e80')
def tails(c, k):
    e = c['expected']
    for df, x, u in zip(*e['t'].values()): k(stats.t.sf(x, df), u, 1e-320)
    for d1, d2, x, u in zip(*e['f'].values()): k(stats.f.sf(x, d1, d2), u, 1e-320)
    for a, b, x, lo, up in zip(*e['beta'].values()): k(special.betainc(a, b, x), lo, 1e-320); k(special.betaincc(a, b, x), up, 1e-320)
    for kk, n, p, al, am in zip(*e['binomial'].values()): k(stats.binom.sf(kk - 1, n, p), al, 1e-320); k(stats.binom.cdf(kk, n, p), am, 1e-320)
    for a, b, p, x in zip(*e['betaQuantiles'].values()): k(special.betaincinv(a, b, p), x)
    k.note('scipy in double precision; base R in verify-3.R')
def bpcp(c, k):
    rng = np.random.default_rng(1); N = 200000; far = 0
    for s in c['expected']['sets']:
        rows = [r for r in table(s['file']) if all(r[a] == b for a, b in s['where'].items())]; T, E = col(rows, s['time']), col(rows, s['status']); a = (1 - s['confidence']) / 2
        for i, t in enumerate(s['times']):
            us = [u for u in np.unique(T[E == 1]) if u <= t]; f = [(int((T >= u).sum()), int(((T == u) & (E == 1)).sum())) for u in us]; R = int((T > t).sum())
            k([np.prod([(y - d) / y for y, d in f]), R], [s['survival'][i], s['atRiskAfter'][i]])
            # method of moments
            def mm(ab, p):
                if not ab: return 1.0
                m1 = math.prod(x / (x + y) for x, y in ab); m2 = math.prod(x * (x + 1) / ((x + y) * (x + y + 1)) for x, y in ab); v = m2 - m1 * m1
                return special.betaincinv((m1 - m2) * m1 / v, (m1 - m2) * (1 - m1) / v, p)
            ab = [(y - d + 1, d) for y, d in f]; k(mm(ab, 1 - a), s['momentMatched']['upper'][i], 1e-3); k(mm(ab + [(R, 1)], a) if R else 0.0, s['momentMatched']['lower'][i], 1e-3)
            # exact quantile by uniformisation of the chain of rates, and by drawing
            rates = [y - j for y, d in f for j in range(d)]
            def cdf(w, rates):                         # P(-log W >= x), all terms positive
                x = -math.log(w); q = max(rates); v = np.zeros(len(rates)); v[0] = 1; lam = np.array(rates) / q; tot = 0.0; n = 0; lp = -q * x
                while True:
                    tot += math.exp(lp) * v.sum() if lp > -740 else 0; n += 1; lp += math.log(q * x / n)
                    nv = v * (1 - lam); nv[1:] += v[:-1] * lam[:-1]; v = nv
                    if n > q * x and v.sum() * math.exp(max(lp, -740)) < 1e-18: return tot
            for r, p, want in ((rates, 1 - a, s['exact']['upper'][i]), (rates + [R], a, s['exact']['lower'][i])):
                if not r: assert want == 1; continue
                if R == 0 and r[-1] == 0: assert want == 0; continue
                k(cdf(want, r), p)
                W = np.exp(-(rng.exponential(size=(N, len(r))) / np.array(r)).sum(1)); far = max(far, abs((W <= want).mean() - p) / math.sqrt(p * (1 - p) / N))
    k.note('uniformisation puts every exact limit back into its tail; %d draws each: largest deviation %.1f Monte-Carlo SE' % (N, far))
def smd_pairs(X, arm, w, lv, vs):
    out = []
    for v in vs:
        x = X[v]; binary = set(np.unique(x)) <= {0., 1.}
        m = [np.average(x[arm == l], weights=w[arm == l]) for l in lv]; s2 = [x[arm == l].mean() * (1 - x[arm == l].mean()) if binary else x[arm == l].var(ddof=1) for l in lv]
        d1 = {(i, j): abs(m[i] - m[j]) / math.sqrt((s2[i] + s2[j]) / 2) for i in range(len(lv)) for j in range(i + 1, len(lv))}; b = max(d1, key=d1.get)
        out.append((d1[b], lv[b[0]] + ' | ' + lv[b[1]], max(abs(p - q) for p in m for q in m) / math.sqrt(np.mean(s2))))
    return out
def arms(c, k):
    e = c['expected']; rows = table(c['data']); vs = names(c['columns']['covariates']); arm = np.array([r['arm'] for r in rows]); T, E = col(rows, c['columns']['time']), col(rows, c['columns']['event']); X = {v: col(rows, v) for v in vs}; lv = sorted(set(arm)); assert lv == e['arms']
    D = np.column_stack([np.ones(len(arm))] + [X[v] for v in vs]); J, p = len(lv), D.shape[1]; Y = np.column_stack([(arm == l) * 1.0 for l in lv[1:]])
    sc = np.abs(D).max(0); A = D / sc; b = np.zeros((p, J - 1))
    def prob(b): q = np.exp(np.column_stack([np.zeros(len(arm)), A @ b])); return q / q.sum(1, keepdims=True)
    for _ in range(100):
        P = prob(b); g = (A.T @ (Y - P[:, 1:])).T.ravel(); H = np.block([[(A * (P[:, j + 1] * ((j == l) - P[:, l + 1]))[:, None]).T @ A for l in range(J - 1)] for j in range(J - 1)]); s = np.linalg.solve(H, g); b = b + s.reshape(J - 1, p).T
        if abs(s).max() < 1e-13: break
    P = prob(b); V = np.linalg.inv(H); se = np.sqrt(np.diag(V)).reshape(J - 1, p) / sc; B = b.T / sc
    k(B, [e['coefficients'][l] for l in lv[1:]]); k(se, [e['standardErrors'][l] for l in lv[1:]]); own = P[np.arange(len(arm)), [lv.index(a) for a in arm]]
    k(np.log(own).sum(), e['logLikelihood']); k(P[np.array(e['rows']) - 1], e['probabilitiesAtRows']); k(P.mean(0), e['meanProbability']); k(P.min(), e['smallestProbability']); k(sum((arm == l).sum() * math.log((arm == l).mean()) for l in lv), e['logLikelihoodConstantsOnly'])
    def bal(got, want): k([g[0] for g in got], want['largestPairDenominator']); k([g[2] for g in got], want['largestAllArmsDenominator']); assert [g[1] for g in got] == want['pairOfLargest']
    bal(smd_pairs(X, arm, np.ones(len(arm)), lv, vs), e['balanceUnweighted'])
    for name, want in e['weights'].items():
        w = {'overlap': 1 / (1 / P).sum(1), 'everyone': np.ones(len(arm))}.get(name) ; w = (P[:, lv.index(name[7:])] if w is None else w) / own
        k(w[np.array(e['rows']) - 1], want['weightAtRows']); k([w[arm == l].sum() for l in lv], [want['sumByArm'][l] for l in lv]); k([w[arm == l].max() for l in lv], [want['largestByArm'][l] for l in lv]); k([w[arm == l].sum() ** 2 / (w[arm == l] ** 2).sum() for l in lv], [want['effectiveSizeByArm'][l] for l in lv]); bal(smd_pairs(X, arm, w, lv, vs), want['balance'])
        est = {}
        for l in lv:
            m = arm == l; S = wkm(T[m], E[m], w[m], e['times']); s = np.sqrt((influence(lambda z: wkm(T[m], E[m], z, e['times']), w[m]) ** 2).sum(0)); est[l] = (S, s); k(S, want['survival'][l]['survival']); k(s, want['survival'][l]['standardError'])
        for d in want['differences']:
            j, i = d['contrast'].split(' minus '); x = est[j][0] - est[i][0]; s = np.hypot(est[j][1], est[i][1]); k(x, d['difference']); k(s, d['standardError']); k(x - Z * s, d['lower']); k(x + Z * s, d['upper'])
    k.note('Newton on unstandardised columns; standard errors by complex-step derivatives of the weighted curve')
def conc(T, E, m, w=None, strata=None, cluster=None):
    n = len(T); w = np.ones(n) if w is None else w; st = np.zeros(n) if strata is None else strata
    same = st[:, None] == st[None, :]; first = same & (E[:, None] == 1) & ((T[:, None] < T[None, :]) | ((T[:, None] == T[None, :]) & (E[None, :] == 0)))
    gt, eq = m[:, None] > m[None, :], m[:, None] == m[None, :]
    def C(z): zz = z[:, None] * z[None, :]; return np.array([(zz * (first * (gt + .5 * eq))).sum() / (zz * first).sum()])
    zz = w[:, None] * w[None, :]; both = same & (E[:, None] == 1) & (E[None, :] == 1) & (T[:, None] == T[None, :]) & ~np.eye(n, dtype=bool)
    inf = influence(C, w)[:, 0]; cl = np.arange(n) if cluster is None else cluster
    return [(zz * (first & gt)).sum(), (zz * (first & ~gt & ~eq)).sum(), (zz * (first & eq)).sum(), (zz * (both & ~eq)).sum() / 2, (zz * (both & eq)).sum() / 2, C(w)[0].real, math.sqrt(sum(inf[cl == q].sum() ** 2 for q in np.unique(cl)))]
def concordance(c, k):
    rows = table(c['data']); T, E = col(rows, c['columns']['time']), col(rows, c['columns']['event']); get = lambda v: col(rows, v)
    F = ['concordant', 'discordant', 'tiedScore', 'tiedTime', 'tiedBoth', 'estimate', 'standardError']
    for name, how in c['options']['variants'].items():
        i = slice(0, how.get('firstRows')); m = get(how['score']) * how.get('sign', 1)
        r = conc(T[i], E[i], m[i], get(how['weight'])[i] if 'weight' in how else None, get(how['stratum'])[i] if 'stratum' in how else None, get(how['cluster'])[i] if 'cluster' in how else None); k(r, [c['expected'][name][f] for f in F], 1e-6)
    k.note('all pairs; standard errors by complex-step derivatives in the weights')
def brier(c, k):
    rows = table(c['data']); comp = 'competing' in c['id']; m = col(rows, c['columns']['score']); rk = names(c['columns']['predictedRisk'])
    sets = [('time', c['options']['times'], c['expected'])] if comp else [('time', c['options']['days'], c['expected']['days']), (c['columns']['tiedTime'], c['options']['tied'], c['expected']['tied'])]
    for tc, times, want in sets:
        T, E = col(rows, tc), col(rows, c['columns']['event'].split()[0]); n = len(T)
        for conv, ef in (('eventsBeforeCensorings', True), ('everyoneAtRisk', False)):
            def G(t, left):
                g = 1.0
                for u in np.unique(T[E == 0]):
                    if u < t or (u == t and not left): g *= 1 - ((T == u) & (E == 0)).sum() / ((T >= u).sum() - (((T == u) & (E > 0)).sum() if ef else 0))
                return g
            for q, t in enumerate(times):
                o = {f: v[q] for f, v in want[conv].items()}; W = np.array([1 / G(T[i], True) if T[i] <= t and E[i] > 0 else 1 / G(t, False) if T[i] > t else 0. for i in range(n)]); y = (T <= t) & (E == 1); p = col(rows, rk[q])
                S, F = 1.0, 0.0
                for u in np.unique(T[(E > 0) & (T <= t)]): Y = (T >= u).sum(); F += S * ((T == u) & (E == 1)).sum() / Y; S *= 1 - ((T == u) & (E > 0)).sum() / Y
                b, r = (W * (y - p) ** 2).mean(), (W * (y - F) ** 2).mean()
                def auc(s, ctl): i, j = np.where((W > 0) & y)[0], np.where((W > 0) & ctl)[0]; K = (s[i][:, None] > s[j][None, :]) + .5 * (s[i][:, None] == s[j][None, :]); return (W[i] @ K @ W[j]) / (W[i].sum() * W[j].sum())
                k([y.sum(), W.mean(), b, r, F, 1 - b / r, auc(m, ~y), auc(p, ~y)], [o[f] for f in ('cases', 'meanWeight', 'brier', 'brierReference', 'referenceRisk', 'index', 'aucScore', 'aucRisk')])
                if comp: k(auc(m, T > t), o['aucScoreControlsEventFree'])
    k.note('written out patient by patient')
def nelson(c, k):
    rows = table(c['data']); e = c['expected']; co = c['columns']; g = np.array([r[co['group']] for r in rows]) if 'group' in co else np.array(['all'] * len(rows)); T, E = col(rows, co['time']), col(rows, co['event'])
    for l, want in e.items():
        m = g == l; t, d = T[m], E[m]
        if 'weight' in co:
            w = col(rows, co['weight'])[m]; at = want['times']; H = na(t, d, w, at); s = np.sqrt((influence(lambda z: na(t, d, z, at), w) ** 2).sum(0)); k(H, want['cumulativeHazard']); k(s, want['robustSe']); k(H * np.exp(-Z * s / H), want['robustLogLower']); k(H * np.exp(Z * s / H), want['robustLogUpper'])
            us = np.unique(t[d == 1]); k([math.sqrt(sum(w[(t == u) & (d == 1)].sum() / w[t >= u].sum() ** 2 for u in us if u <= a)) for a in at], want['seWeightsAsCounts']); k([math.sqrt(sum((w[(t == u) & (d == 1)] ** 2).sum() / w[t >= u].sum() ** 2 for u in us if u <= a)) for a in at], want['seSquaredWeights']); continue
        en = col(rows, co['entry'])[m] if 'entry' in co else np.full(m.sum(), -math.inf); us = np.unique(t[d == 1])
        for q, a in enumerate(want['time']):
            z = [(int(((en < u) & (t >= u)).sum()), int(((t == u) & (d == 1)).sum())) for u in us if u <= a]; H = float(sum(Fraction(n_, y) for y, n_ in z)); k(int(((en < a) & (t >= a)).sum()), want['atRisk'][q]); k(H, want['cumulativeHazard'][q]); k(math.exp(-H), want['survivalExpMinusH'][q])
            for name, v in (('aalen', sum(Fraction(n_, y * y) for y, n_ in z)), ('binomial', sum(Fraction(n_ * (y - n_), y ** 3) for y, n_ in z)), ('klein', sum(Fraction(n_ * (y - n_), (y - 1) * y * y) for y, n_ in z if y > 1))):
                s = math.sqrt(v); o = want[name]; k([s, max(0, H - Z * s), H + Z * s, H * math.exp(-Z * s / H), H * math.exp(Z * s / H)], [o[f][q] for f in ('se', 'plainLower', 'plainUpper', 'logLower', 'logUpper')])
    k.note('fractions; weighted standard errors by complex-step derivatives')
def conditional(c, k):
    rows = table(c['data']); co = c['columns']; T, E, w = col(rows, co['time']), col(rows, co['event']), col(rows, co['weight']); g = np.array([r[co['group']] for r in rows])
    def one(t, d, w, want, weighted):
        s0, at = want['given'], want['times']; S = wkm(t, d, w, at, s0); k(S, wkm(t, d, w, at) / wkm(t, d, w, [s0])[0]); k((t > s0).sum(), want['atRiskJustAfter'])
        if weighted: se = np.sqrt((influence(lambda z: wkm(t, d, z, at) / wkm(t, d, z, [s0])[0], w) ** 2).sum(0))
        else: se = np.array([x * math.sqrt(sum(((t == u) & (d == 1)).sum() / ((t >= u).sum() * ((t >= u) & ~((t == u) & (d == 1))).sum()) for u in np.unique(t[d == 1]) if s0 < u <= a)) for x, a in zip(S, at)])
        h = se / (S * np.log(S)); k(S, want['survival']); k(se, want['standardError'], 1e-6); k(np.maximum(0, S - Z * se), want['plainLower']); k(np.minimum(1, S + Z * se), want['plainUpper']); k(S * np.exp(-Z * se / S), want['logLower']); k(np.minimum(1, S * np.exp(Z * se / S)), want['logUpper']); k(S ** np.exp(-Z * h), want['loglogLower']); k(S ** np.exp(Z * h), want['loglogUpper'])
    for l, ws in c['expected']['unweighted'].items():
        for want in ws: one(T[g == l], E[g == l], np.ones((g == l).sum()), want, False)
    for want in c['expected']['weightedEveryone']: one(T, E, w, want, True)
    k.note('as the ratio of two curves; weighted standard errors by complex-step derivatives of that ratio')
def run_lengths(risks, shares, R, h, rho, n, seed):
    rng = np.random.default_rng(seed); p = np.array(risks); q = rho * p / (1 - p + rho * p); sh = np.cumsum(shares); C = np.zeros(n); L = np.zeros(n); alive = np.arange(n); step = 0
    while len(alive):
        step += 1; i = np.minimum(np.searchsorted(sh, rng.random(len(alive))), len(p) - 1); y = rng.random(len(alive)) < q[i]; x = np.maximum(0, C[alive] + np.where(y, math.log(R), 0) - np.log(1 - p[i] + R * p[i])); C[alive] = x; done = x >= h; L[alive[done]] = step; alive = alive[~done]
    return L.mean(), L.std(ddof=1) / math.sqrt(n)
def cusum(c, k):
    rows = table(c['data']); y, p = col(rows, c['columns']['outcome']), col(rows, c['columns']['risk']); e = c['expected']
    for s in e['series']:
        R, h = s['oddsRatio'], s['limit']; W = [math.log(R ** a / (1 - b + R * b)) for a, b in zip(y, p)]; k(W, s['score']); C = D = 0; cs, ds, sig = [], [], []
        for i, x in enumerate(W, 1):
            C = max(0, C + x); cs.append(C); D = max(0, D + x); ds.append(D)
            if D >= h: sig.append(i); D = 0
        k(cs, s['cusum'], 1e-3); k(ds, s['cusumRestarted'], 1e-3); assert sig == s['signals'], (sig, s['signals']); f = [i for i, x in enumerate(cs, 1) if x >= h]; assert (f[0] if f else None) == s['firstAtOrAbove']
    far = 0; out = []
    def sim(risks, shares, R, h, rho, want):
        nonlocal far
        n = int(min(40000, max(4000, 6e7 / want))); m, se = run_lengths(risks, shares, R, h, rho, n, 7 + len(out)); out.append((want, m, se)); far = max(far, abs(m - want) / se)
    for r in rows_of(e['oneRisk']):
        a, R, h, rho, want = (r[x] for x in ('risk', 'oddsRatio', 'limit', 'trueOddsRatio', 'averageRunLength')); q = rho * a / (1 - a + rho * a); f, s = math.log(R) - math.log(1 - a + R * a), -math.log(1 - a + R * a)
        mass = {(1, 0): q if f > 0 else 0., (0, 1): 1 - q if s > 0 else 0.}; mass = {z: v for z, v in mass.items() if v}; length, signal = 1.0, 0.0        # every path of an excursion by its numbers of failures and successes
        while mass:
            length += math.fsum(mass.values()); new = {}
            for (i, j), v in mass.items():
                for z, pr in (((i + 1, j), q), ((i, j + 1), 1 - q)):
                    x = z[0] * f + z[1] * s
                    if x >= h: signal += v * pr
                    elif x > 0: new[z] = new.get(z, 0.) + v * pr
            mass = {z: v for z, v in new.items() if v > 1e-22}
        k(length / signal, want); sim([a], [1.], R, h, rho, want)
    for r in e['latticeMix']:
        N = r['_n'] if '_n' in r else 70; u = math.log(2) / N; K = int(math.floor(r['limit'] / u)); R, rho = r['oddsRatio'], r['trueOddsRatio']; v = np.zeros(K + 1); v[0] = 1; moves = []
        for a, sh in zip(r['risks'], r['shares']):
            q = rho * a / (1 - a + rho * a); ks = -math.log(1 - a + R * a) / u; kf = (math.log(R) - math.log(1 - a + R * a)) / u; assert abs(ks - round(ks)) < 1e-9 and abs(kf - round(kf)) < 1e-9; moves += [(round(ks), sh * (1 - q)), (round(kf), sh * q)]
        total, idx = 0.0, np.arange(K + 1)                       # expected number of steps as the sum of survival of the chain
        while v.sum() > 1e-15:
            total += v.sum(); nv = np.zeros(K + 1)
            for d, pr in moves: t = np.maximum(0, idx + d); ok = t <= K; np.add.at(nv, t[ok], pr * v[ok])
            v = nv
        k(total, r['averageRunLength'], 1e-3); sim(r['risks'], r['shares'], R, r['limit'], rho, r['averageRunLength'])
    for r in e['caseMix']: sim(r['risks'], r['shares'], r['oddsRatio'], r['limit'], r['trueOddsRatio'], r['averageRunLength'])
    k.note('one risk and lattice again by other routes; simulation of all: largest deviation %.1f Monte-Carlo SE (SE %.2f-%.2f %%)' % (far, 100 * min(s / w for w, m, s in out), 100 * max(s / w for w, m, s in out)))
def funnel(c, k):
    for name, t in c['expected'].items():
        th = Fraction(name.split()[1])
        for i, n in enumerate(t['n']):
            for p, l in ((Fraction(25, 1000), 'Lower95'), (Fraction(975, 1000), 'Upper95'), (Fraction(1, 1000), 'Lower998'), (Fraction(999, 1000), 'Upper998')):
                N, D = th.numerator, th.denominator; cum, j, term = 0, 0, (D - N) ** n; den = D ** n     # whole numbers
                while True:
                    cum += term
                    if cum * p.denominator >= p.numerator * den: break
                    term = term * (n - j) * N // ((j + 1) * (D - N)); j += 1
                al = (Fraction(cum, den) - p) / Fraction(term, den); k(float(min(max((j - al) / n, 0), 1)), t['interpolated' + l][i]); k(j, t['count' + l][i])
    k.note('whole-number arithmetic')
def pois_cdf(o, m): return mpm.gammainc(o + 1, m, mpm.inf, regularized=True)
def ratio(c, k):
    for r in rows_of(c['expected']):
        o, E = r['observed'], mpf(r['expected']); 
        z = mpm.sqrt(2) * mpm.erfinv(mpf('0.95')); up = lambda m: 1 - mpm.fsum(mpm.exp(-m + j * mpm.log(m) - mpm.loggamma(j + 1)) for j in range(o)); lo = lambda m: mpm.fsum(mpm.exp(-m + j * mpm.log(m) - mpm.loggamma(j + 1)) for j in range(o + 1))
        for f, al in (('exact', mpf('0.025')), ('exact998', mpf('0.001'))):            # limits put back into the plain Poisson sums
            if o: k(up(mpf(r[f + 'Lower']) * E), al)
            else: assert r[f + 'Lower'] == 0
            k(lo(mpf(r[f + 'Upper']) * E), al)
        by = (mpf(0) if o == 0 else o * (1 - mpf(1) / (9 * o) - z / (3 * mpm.sqrt(o))) ** 3 / E, (o + 1) * (1 - mpf(1) / (9 * (o + 1)) + z / (3 * mpm.sqrt(o + 1))) ** 3 / E)
        p = min(mpf(1), 2 * min(lo(E), up(E))); k([o / E, *by, p], [r[f] for f in ('ratio', 'byarLower', 'byarUpper', 'pTwiceSmallerTail')])
    k.note('limits put back into plain Poisson sums, 40 digits')
def confounder(c, k):
    for r in rows_of(c['expected']['adjusted']):
        g, p1, p0 = r['confounderRatio'], r['prevalence1'], r['prevalence0']
        # a population built from its strata: base risk .01, true ratio r; the crude ratio over the true one is the bias factor
        true, base = .8, .01; crude = (p1 * base * g * true + (1 - p1) * base * true) / (p0 * base * g + (1 - p0) * base); b = crude / true
        k([b, r['ratio'] / b, r['lower'] / b, r['upper'] / b], [r[f] for f in ('biasFactor', 'adjusted', 'adjustedLower', 'adjustedUpper')])
    for r in rows_of(c['expected']['eValue']):
        E = float(mpm.findroot(lambda x: x * x / (2 * x - 1) - r['ratio'], 2 * r['ratio'])); k([E, r['ratio'], r['ratio']], [r['eValue'], r['biasFactorAtEValue'], r['boundingFactorAtEValue']])
        grid = max((1 + (g - 1) * a) / (1 + (g - 1) * a / q) for g in np.linspace(1, E, 40) for q in np.linspace(1, E, 40) for a in np.linspace(.01, 1, 40)); assert grid <= r['ratio'] * (1 + 1e-12)
    k.note('crude over true ratio of a population built from its strata; E-value by root and a grid over all confounders no stronger')
def missing(c, k):
    ex = lambda x: 1 / (1 + mpm.exp(-x))
    for q in c['expected']:
        A, B = q['group1'], q['group0']
        def risk(g, d): po = mpf(g['events']) / g['known']; f = mpf(g['patients'] - g['known']) / g['patients']; return (1 - f) * po + f * ex(mpm.log(po / (1 - po)) + d)
        def var(g, d, full): # derivatives by differences in the known risk and the missing share
            m, n = g['known'], g['patients']; po = mpf(g['events']) / m; f = mpf(n - m) / n; R = lambda po, f: (1 - f) * po + f * ex(mpm.log(po / (1 - po)) + d); a = mpm.diff(lambda x: R(x, f), po); b = mpm.diff(lambda x: R(po, x), f); return a * a * po * (1 - po) / m + (b * b * f * (1 - f) / n if full else 0)
        lo = lambda g: mpf(g['events']) / g['patients']; up = lambda g: mpf(g['events'] + g['patients'] - g['known']) / g['patients']
        k([mpf(A['events']) / A['known'] - mpf(B['events']) / B['known'], lo(A), up(A), lo(B), up(B), lo(A) - up(B), up(A) - lo(B)], [q['completeCase'], *q['risk1'], *q['risk0'], *q['bounds']]); w = up(A) - lo(B) - lo(A) + up(B); k(w, q['width'])
        sl = mpm.sqrt(lo(A) * (1 - lo(A)) / A['patients'] + up(B) * (1 - up(B)) / B['patients']); su = mpm.sqrt(up(A) * (1 - up(A)) / A['patients'] + lo(B) * (1 - lo(B)) / B['patients']); k([sl, su], q['boundsStandardErrors'])
        cc = mpm.findroot(lambda x: mpm.ncdf(x + w / max(sl, su)) - mpm.ncdf(-x) - mpf('0.95'), 1.7); k([cc, lo(A) - up(B) - cc * sl, up(A) - lo(B) + cc * su], [q['imbensManski'][f] for f in ('c', 'lower', 'upper')], 1e-4)
        def at(d1, d0): d = risk(A, d1) - risk(B, d0); s = mpm.sqrt(var(A, d1, True) + var(B, d0, True)); return d, s, d - mpf(Z) * s, d + mpf(Z) * s
        for r in rows_of(q['deltaGrid']): k([*at(r['delta1'], r['delta0']), mpm.sqrt(var(A, r['delta1'], False) + var(B, r['delta0'], False))], [r[f] for f in ('difference', 'standardError', 'lower', 'upper', 'standardErrorSharesFixed')], 1e-4)
        which = 3 if q['completeCase'] < 0 else 2
        for f, fn in (('tippingGroup1', lambda d: at(d, 0)), ('tippingGroup0', lambda d: at(0, d))):
            for key, j in (('differenceZero', 0), ('limitZero', which)):
                v = q[f][key]; 
                if v is not None: k(mpm.findroot(lambda d: fn(d)[j], v * 1.02 + .01), v)
                else: assert fn(-12)[j] * fn(12)[j] > 0
    k.note('variances from derivatives by differences in 40 digits, roots in 40 digits')
def pooling(c, k):
    e = c['expected']; y = [mpf(v) for v in e['estimates']]; v = [mpf(x) for x in e['variances']]; n = len(y); z = mpm.sqrt(2) * mpm.erfinv(mpf('0.95'))
    rows = table(c['data']); assert [float(r['yi']) for r in rows] == e['estimates'] and [float(r['vi']) for r in rows] == e['variances']
    def fit(t): w = [1 / (x + t) for x in v]; s = sum(w); mu = sum(a * b for a, b in zip(w, y)) / s; return w, s, mu
    def tq(p, df): return mpm.findroot(lambda x: mpm.betainc(mpf(df) / 2, mpf(1) / 2, 0, df / (df + x * x), regularized=True) / 2 - p, mpf(2.3) if df > 2 else mpf(5) if df == 2 else mpf(12.7))
    w, s, mu = fit(0); Q = sum(a * (b - mu) ** 2 for a, b in zip(w, y)); s2 = (n - 1) * s / (s * s - sum(a * a for a in w)); k([Q, mpm.gammainc(mpf(n - 1) / 2, Q / 2, mpm.inf, regularized=True), max(mpf(0), (Q - (n - 1)) / Q), s2], [e['Q'], e['pValueQ'], e['iSquaredFromQ'], e['typicalVariance']], 1e-60)
    f4 = lambda m, se, cr: [m, se, m - cr * se, m + cr * se]; g4 = lambda o: [o[x] for x in ('estimate', 'standardError', 'lower', 'upper')]
    k(f4(mu, 1 / mpm.sqrt(s), z), g4(e['common'])); k([a / s for a in w], e['weightShareCommon'])
    dl = max(mpf(0), (Q - (n - 1)) / (s - sum(a * a for a in w) / s)); w, s, mu = fit(dl); k([dl, *f4(mu, 1 / mpm.sqrt(s), z)], [e['derSimonianLaird']['tau2'], *g4(e['derSimonianLaird'])])
    # restricted likelihood by its marginal form: contrasts of the estimates (n - 1 differences from the first)
    def rl(t):
        M = mpm.matrix(n - 1, n - 1); d = mpm.matrix(n - 1, 1)
        for i in range(n - 1):
            d[i] = y[i + 1] - y[0]
            for j in range(n - 1): M[i, j] = v[0] + t + ((v[i + 1] + t) if i == j else 0)
        return -mpm.log(mpm.det(M)) / 2 - (d.T * mpm.lu_solve(M, d))[0] / 2
    old = mp.dps; mp.dps = 30; t2 = e['reml']['tau2']; dr = lambda t: mpm.diff(rl, t)
    if t2 > 0: root = mpm.findroot(dr, (mpf(t2) * mpf('0.98'), mpf(t2) * mpf('1.03')), tol=1e-20); assert rl(root) > rl(root * 0.9) and rl(root) > rl(root * 1.1) and rl(root) >= rl(mpf(0)); k(root, t2)
    else: assert dr(mpf('1e-12')) <= 0; root = mpf(0)
    mp.dps = old; w, s, mu = fit(root); se = 1 / mpm.sqrt(s); q = sum(a * (b - mu) ** 2 for a, b in zip(w, y)) / (n - 1); t = tq(mpf('0.025'), n - 1); r = e['reml']; k([a / s for a in w], e['weightShareReml'])
    k(f4(mu, se, z), g4(r['wald'])); k([q, *f4(mu, se * mpm.sqrt(q), t)], [r['hartungKnapp']['q'], *g4(r['hartungKnapp'])]); k(f4(mu, se * mpm.sqrt(max(1, q)), t), g4(r['hartungKnappNotBelowWald'])); k(root / (root + s2), r['iSquaredFromTau2'])
    tt = mu / (se * mpm.sqrt(q)); k([tt, mpm.betainc(mpf(n - 1) / 2, mpf(1) / 2, 0, (n - 1) / (n - 1 + tt * tt), regularized=True)], [r['hartungKnapp']['t'], r['hartungKnapp']['pValue']])
    ph = mpm.sqrt(root + se * se * q); k([mu - t * ph, mu + t * ph], [r['predictionHartungKnapp'][x] for x in ('lower', 'upper')])
    if n > 2: t = tq(mpf('0.025'), n - 2); ph = mpm.sqrt(root + se * se); k([mu - t * ph, mu + t * ph], [r['predictionHiggins'][x] for x in ('lower', 'upper')])
    k.note('restricted likelihood of the contrasts, root in 30 digits')
def boot(c, k):
    ph, qn = lambda x: float(mpm.ncdf(x)), lambda p: float(mpm.sqrt(2) * mpm.erfinv(2 * mpf(p) - 1))
    for name, s in c['expected'].items():
        f = [x for x in c['data'] if name in x]; t = sorted(col(table(f[0]), 't')); j = col(table(f[1]), 'value'); B, t0 = len(t), s['estimate']; d = j.mean() - j; a = (d ** 3).sum() / (6 * (d ** 2).sum() ** 1.5)
        def q7(p): x = (B - 1) * p; i = min(int(math.floor(x + 1e-12)), B - 2); return t[i] + (x - i) * (t[i + 1] - t[i])
        def qo(p):
            x = (B + 1) * p; i = int(math.floor(x + 1e-9))
            if abs(x - i) < 1e-9: return t[i - 1]
            if i < 1: return t[0]
            if i >= B: return t[-1]
            return t[i - 1] + (qn(p) - qn(i / (B + 1))) / (qn((i + 1) / (B + 1)) - qn(i / (B + 1))) * (t[i] - t[i - 1])
        for o in s['limits']:
            A = ((1 - o['confidence']) / 2, (1 + o['confidence']) / 2); lt, eq = sum(x < t0 for x in t), sum(x == t0 for x in t)
            adj = lambda z0: [ph(z0 + (z0 + qn(p)) / (1 - a * (z0 + qn(p)))) for p in A]; z0, zh = qn(lt / B), qn((lt + eq / 2) / B); ad, ah = adj(z0), adj(zh)
            k([q7(A[0]), q7(A[1])], [o['percentile']['lower'], o['percentile']['upper']]); k([2 * t0 - q7(A[1]), 2 * t0 - q7(A[0])], [o['basic']['lower'], o['basic']['upper']]); k([z0, a, *ad, q7(ad[0]), q7(ad[1])], [o['bca']['z0'], o['bca']['acceleration'], *o['bca']['adjusted'], o['bca']['lower'], o['bca']['upper']]); k([zh, q7(ah[0]), q7(ah[1])], [o['bcaTiesHalf'][x] for x in ('z0', 'lower', 'upper')])
            w = o['orderStatisticsNormalInterpolation']; k([qo(p) for p in A], w['percentile']); k([2 * t0 - qo(A[1]), 2 * t0 - qo(A[0])], w['basic']); k([qo(p) for p in ad], w['bca'])
    k.note('second implementation; boot::boot.ci agreed in the making')
def permutation(c, k):
    F = lambda v: [Fraction(str(x)) for x in v]
    for g in c['expected']['twoGroups']:
        x, y = F(g['x']), F(g['y']); z = x + y; n = len(x); o = sum(x) / n - sum(y) / len(y); d = []; tot = sum(z)
        for i in itertools.combinations(range(len(z)), n): s = sum(z[j] for j in i); d.append(s / n - (tot - s) / len(y))
        k([len(d), sum(abs(v) >= abs(o) for v in d), float(o)], [g['assignments'], g['atLeastAsExtreme'], g['difference']]); k([sum(abs(v) >= abs(o) for v in d) / len(d), sum(v >= o for v in d) / len(d), sum(v <= o for v in d) / len(d)], [g['pTwoSided'], g['pGreater'], g['pLess']])
    for g in c['expected']['paired']:
        d = F(g['differences']); s = [sum(a * b for a, b in zip(sg, d)) for sg in itertools.product((1, -1), repeat=len(d))]; m = sum(abs(v) >= abs(sum(d)) for v in s); k([len(s), m, m / len(s), float(sum(d) / len(d))], [g['assignments'], g['atLeastAsExtreme'], g['pTwoSided'], g['meanDifference']])
    k.note('fractions, every assignment')
def rates(c, k):
    for r in rows_of(c['expected']):
        x1, t1, x0, t0, cl = (r[f] for f in ('events1', 'exposure1', 'events0', 'exposure0', 'confidence')); a = (1 - mpf(str(cl))) / 2; n = x1 + x0; k([100 * x1 / t1, 100 * x0 / t0], [r['rate1'], r['rate0']]); p0 = mpf(t1) / (mpf(t1) + mpf(t0))
        if x0: k((mpf(x1) / t1) / (mpf(x0) / t0), r['ratio'])
        else: assert r['ratio'] == ('Infinity' if x1 else None)
        up = lambda p: mpm.fsum(mpm.binomial(n, j) * p ** j * (1 - p) ** (n - j) for j in range(x1, n + 1)); lo = lambda p: mpm.fsum(mpm.binomial(n, j) * p ** j * (1 - p) ** (n - j) for j in range(0, x1 + 1))
        # limits put back into the plain binomial sums
        if x1: rho = mpf(r['lower']); k(up(rho * t1 / (rho * t1 + t0)), a)
        else: assert r['lower'] == 0
        if x0: rho = mpf(r['upper']); k(lo(rho * t1 / (rho * t1 + t0)), a)
        else: assert r['upper'] == 'Infinity'
        k(min(mpf(1), 2 * min(up(p0), lo(p0))), r['pTwiceSmallerTail']); pr = [mpm.binomial(n, j) * p0 ** j * (1 - p0) ** (n - j) for j in range(n + 1)]; k(sum(v for v in pr if v <= pr[x1] * (1 + mpf('1e-7'))), r['pMinimumLikelihood'])
    k.note('plain binomial sums in 40 digits')
def zph(c, k):
    rows = table(c['data']); T, E = col(rows, c['columns']['time']), col(rows, c['columns']['event']); vs = names(c['columns']['covariates']); X = np.column_stack([col(rows, v) for v in vs]); us = np.unique(T[E == 1]); p = X.shape[1]
    def km(u): S = 1.0; [S := S * (1 - ((T == x) & (E == 1)).sum() / (T >= x).sum()) for x in us if x < u]; return 1 - S
    for name, e in c['expected'].items():
        w = np.ones(len(T)) if 'unit' in name else col(rows, c['columns']['weight']); tr = name.replace('unitWeights', '').lower(); g = np.array([{'identity': lambda u: u, 'log': math.log, 'km': km}[tr](u) for u in us])
        def sums(b, th, w):
            sc = np.zeros(2 * p, dtype=w.dtype); H = np.zeros((2 * p, 2 * p), dtype=w.dtype)
            for u, gu in zip(us, g):
                at = T >= u; d = (T == u) & (E == 1); r = w[at] * np.exp(X[at] @ (b + gu * th)); s0 = r.sum(); m = r @ X[at] / s0; C = (X[at].T * r) @ X[at] / s0 - np.outer(m, m); D = w[d].sum(); q = w[d] @ X[d] - D * m; sc += np.concatenate([q, gu * q]); H += D * np.kron(np.array([[1, gu], [gu, gu * gu]]), C)
            return sc, H
        def fit(w, b):
            for _ in range(12): s, H = sums(b, np.zeros(p), w); b = b + np.linalg.solve(H[:p, :p], s[:p])
            return b
        b = fit(w, np.zeros(p)); k(b, e['coefficients']); s, H = sums(b, np.zeros(p), w); k(s[p:], e['score'], 1e-3)
        psi = []; psb = []
        for i in range(len(T)):                         # refit with one weight moved by an imaginary step: influence with beta re-estimated
            z = w.astype(complex); z[i] += 1e-30j; bz = b.astype(complex)
            for _ in range(2): ss, HH = sums(bz, np.zeros(p), z); bz = bz + np.linalg.solve(H[:p, :p], ss[:p])
            ss, _ = sums(bz, np.zeros(p), z); psi.append(w[i] * ss[p:].imag / 1e-30); psb.append(w[i] * bz.imag / 1e-30)
        psi = np.array(psi); V = psi.T @ psi; k(np.sqrt((np.array(psb) ** 2).sum(0)), e['robustSe']); A = H[p:, :p] @ np.linalg.inv(H[:p, :p]); M = H[p:, p:] - A @ H[:p, p:]; u = s[p:]
        for o, V_ in ((e['robust'], V), (e['modelBased'], M)): k(u ** 2 / np.diag(V_), o['statistic'], 1e-6); k(u @ np.linalg.solve(V_, u), o['global'], 1e-6)
        k(stats.chi2.sf(u ** 2 / np.diag(V), 1), e['robust']['pValue']); k(stats.chi2.sf(u @ np.linalg.solve(V, u), p), e['robust']['globalP'])
    k.note('influence by refitting with one weight moved (complex step); size by simulation: simulate-zph-3.R')
DISPATCH = [('chi-square', chi_square), ('poisson', poisson), ('fisher', fisher), ('tails', tails), ('beta-product', bpcp), ('arms', arms), ('concordance', concordance), ('brier', brier), ('nelson', nelson), ('conditional', conditional), ('cusum', cusum), ('funnel', funnel), ('standardised', ratio), ('unmeasured', confounder), ('missing', missing), ('pooling', pooling), ('bootstrap', boot), ('permutation', permutation), ('rate-ratio', rates), ('proportional', zph)]
bad = 0
for c in cases:
    id = c['id'][2:] if c['id'].startswith('h-') else c['id']
    if ONLY and not any(o in id for o in ONLY): continue
    f = [f for n, f in DISPATCH if id.startswith(n)]
    if not f: print('NOT VERIFIED', c['id']); bad += 1; continue
    k = Check(c['id']); f[0](c, k); print('%-34s %5d values, largest relative difference %.1e   %s' % (c['id'], k.n, k.w, '; '.join(k.notes)), flush=True)
