from tails_3 import *
def source(cit): return {'kind': 'reference-library', 'citation': cit + '; ' + VERSIONS, 'publishedValues': []}
def case(id, what, method, options, expected, rel, cit, note='', absolute=0):
    return dict(id=id, what=what, data=None, columns={}, method=method, options=options, expected=expected, tolerance={'relative': rel, 'absolute': absolute}, source=source(cit), note=note)
def chi_square(id, dfs, steps, upper_p, lower_p):
    T = dict(df=[], x=[], lower=[], upper=[]); U = dict(df=[], upperP=[], x=[]); L = dict(df=[], lowerP=[], x=[])
    for df in dfs:
        for k in steps:
            x = sig(df + k * (2 * df) ** 0.5, 7)
            if x <= 0: continue
            lo, up = chisq_tails(x, df)
            if min(lo, up) < mpf(10) ** -290: continue
            T['df'].append(df); T['x'].append(x); T['lower'].append(num(lo)); T['upper'].append(num(up))
        for p in upper_p: U['df'].append(df); U['upperP'].append(p); U['x'].append(num(chisq_quantile(p, df, True)))
        for p in lower_p: L['df'].append(df); L['lowerP'].append(p); L['x'].append(num(chisq_quantile(p, df, False)))
    return case(id, 'Chi-square tails and quantiles at large degrees of freedom',
        'X chi-square with df degrees of freedom. tails: lower = P(X <= x), upper = P(X > x), each computed as that tail (never as one minus the other when it is below a tenth). upperQuantiles: x with P(X > x) = upperP. lowerQuantiles: x with P(X <= x) = lowerP. X/2 is gamma with shape df/2: lower = x^a e^-x / Gamma(a+1) * sum_n x^n/((a+1)...(a+n)) at half the arguments; upper by its continued fraction. In double precision neither converges in a fixed small number of terms here (near the mean about 10*sqrt(df) terms are needed) and the factor x^a e^-x/Gamma(a+1) must not be made from the difference of large logarithms: write it as exp(-a*phi(m))/sqrt(2 pi a) * (Stirling correction), m = (x-a)/a, phi(m) = m - log(1+m) from a series for small m (Temme 1979; DiDonato & Morris 1986).',
        {}, dict(tails=T, upperQuantiles=U, lowerQuantiles=L), 1e-10, 'DiDonato & Morris 1986, ACM Trans Math Softw 12:377; Temme 1979, SIAM J Math Anal 10:757',
        'Compare relatively. Every tail has two routes that agree to 1e-25 (series or continued fraction; mpmath gammainc up to df 20000, adaptive quadrature of the density above), every quantile is put back into the tail.')
def poisson(id, counts, levels):
    o = dict(events=[], confidence=[], lower=[], upper=[])
    for k in counts:
        for l in levels:
            lo, up = garwood(k, l); o['events'].append(k); o['confidence'].append(float(l)); o['lower'].append(num(lo)); o['upper'].append(num(up))
    return case(id, 'Exact Poisson (Garwood) limits for counts of some hundreds to 1e5, 90/95/99 %',
        'Count x, confidence c, tail a = (1-c)/2. Lower limit: the mean at which P(N >= x) = a, = half the chi-square quantile with lower-tail probability a and 2x degrees of freedom (0 when x = 0). Upper limit: the mean at which P(N <= x) = a, = half the chi-square quantile with upper-tail probability a and 2x+2 degrees of freedom. A rate is the limit over the exposure.',
        {}, o, 1e-11, 'Garwood 1936, Biometrika 28:437', 'Each limit was put back into the plain sum of Poisson probabilities (agreement 1e-25).')
def fisher_case(id, tables):
    o = dict(table=[], twoSided=[], less=[], greater=[], pointProbability=[])
    for t in tables:
        f = fisher(t); o['table'].append(t)
        for k, n in (('twoSided', 'two'), ('less', 'less'), ('greater', 'greater'), ('pointProbability', 'point')): o[k].append(num(f[n]))
        if mpf(10) ** -30 < f['near'] < mpf(10) ** -4: print('fisher: a table within 1e-4 of the observed probability', t, mp.nstr(f['near'], 4))
        if f['two'] < mpf(10) ** -300: raise SystemExit('too small %s' % (t,))
    return case(id, 'Fisher exact test of 2 x 2 tables with totals of 1e4 to 5e5',
        'table [[a, b], [c, d]], margins fixed: a is hypergeometric. less = P(A <= a), greater = P(A >= a). twoSided = the sum of the probabilities of all tables that are no more likely than the observed one (a table counts when its probability is at most (1 + 1e-7) times the observed one). Work with probabilities relative to the observed table by ratios of neighbours, P(k+1)/P(k) = (c1-k)(r1-k)/((k+1)(r2-c1+k+1)), r1 = a+b, r2 = c+d, c1 = a+c; never through differences of log factorials of 1e5 (they lose 5-6 digits).',
        {}, o, 1e-9, 'Fisher 1935; Agresti 2002 sec. 3.5', 'The total of the relative weights was checked against log factorials in 60 digits.')
def tails(id, t, f, beta, binom, bq):
    T = dict(df=[], x=[], upper=[]); F = dict(df1=[], df2=[], x=[], upper=[]); B = dict(a=[], b=[], x=[], lower=[], upper=[]); N = dict(k=[], n=[], p=[], atLeast=[], atMost=[]); Q = dict(a=[], b=[], lowerP=[], x=[])
    small = lambda v: mpf(10) ** -305 < v
    for df, x in t:
        v = t_upper(x, df); assert small(v), ('t', df, x, mp.nstr(v, 5)); T['df'].append(df); T['x'].append(x); T['upper'].append(num(v))
    for d1, d2, x in f:
        v = f_upper(x, d1, d2); assert small(v), ('f', d1, d2, x, mp.nstr(v, 5)); F['df1'].append(d1); F['df2'].append(d2); F['x'].append(x); F['upper'].append(num(v))
    for a, b, x in beta:
        lo, up = beta_lower(x, a, b), beta_upper(x, a, b); assert small(lo) and small(up), ('beta', a, b, x, mp.nstr(lo, 5), mp.nstr(up, 5))
        for k, v in (('a', a), ('b', b), ('x', x), ('lower', num(lo)), ('upper', num(up))): B[k].append(v)
    for k, n, p in binom:
        up, lo = beta_lower(p, k, n - k + 1), beta_upper(p, k + 1, n - k); assert small(up) and small(lo), ('binom', k, n, p, mp.nstr(up, 5), mp.nstr(lo, 5))
        q = mpf(p); direct = mp.fsum(mp.exp(mp.loggamma(n + 1) - mp.loggamma(j + 1) - mp.loggamma(n - j + 1) + j * mp.log(q) + (n - j) * mp.log1p(-q)) for j in range(k, n + 1)); agree(direct, up, ('binomial', k, n, p))
        for kk, v in (('k', k), ('n', n), ('p', p), ('atLeast', num(up)), ('atMost', num(lo))): N[kk].append(v)
    for a, b, p in bq: Q['a'].append(a); Q['b'].append(b); Q['lowerP'].append(p); Q['x'].append(num(beta_quantile(p, a, b)))
    return case(id, 'Student, F, beta and binomial tails down to about 1e-290; beta quantiles with large parameters',
        't: P(T > x). f: P(F > x). beta: lower = I_x(a, b) = P(X <= x), upper = P(X > x). binomial: atLeast = P(K >= k) = I_p(k, n-k+1), atMost = P(K <= k) = 1 - I_p(k+1, n-k) computed as I_{1-p}(n-k, k+1). betaQuantiles: x with I_x(a, b) = lowerP. Each tail is computed as that tail. t: I_{df/(df+x^2)}(df/2, 1/2)/2; F: I_{d2/(d2+d1 x)}(d2/2, d1/2).',
        {}, dict(t=T, f=F, beta=B, binomial=N, betaQuantiles=Q), 1e-9, 'Abramowitz & Stegun 1964, 26.5; DiDonato & Morris 1992, ACM Trans Math Softw 18:360', 'Compare relatively. Continued fraction and all-positive series of the incomplete beta agree to 1e-25; binomial tails also agree with the plain sum.')
import csv, os
def bpcp_case(id, sets):
    """sets: (name, file, time, status, {column: value}, times, confidences)"""
    out = []; files = []
    for name, f, tc, sc, where, times, levels in sets:
        rows = [r for r in csv.DictReader(open(('data-3/' if os.path.exists('data-3/' + f) else 'data/') + f)) if all(r[k] == v for k, v in where.items())]
        if f not in files: files.append(f)
        for l in levels:
            o = bpcp([float(r[tc]) for r in rows], [int(r[sc]) for r in rows], times, l)
            out.append(dict(set=name, file=f, time=tc, status=sc, where=where, confidence=float(l), n=len(rows), **o))
    c = case(id, 'Survival limits with few or no events: beta product confidence procedure',
        'Fay, Brittain & Proschan 2013. a = (1-confidence)/2. Event times u_1 < ... < u_m up to and with t, Y_i at risk at u_i (time >= u_i; a censoring at u_i is still at risk), d_i events. Upper limit of S(t): the quantile 1-a of W = product over i of independent Beta(Y_i-d_i+1, d_i) variables (1 when there is no event by t). Lower limit of S(t): the quantile a of W times one more independent Beta(Y(t+), 1), Y(t+) the number with time > t (atRiskAfter): the next failure could come straight after t; 0 when nobody is left. So the lower limit drops at censorings too, and holds from one observed time up to the next (step function closed on the left). Limits of the incidence 1-S(t): 1 - upper, 1 - lower. exact: the true quantile of the product. A Beta(Y-d+1, d) is the product of d independent Beta(k, 1), k = Y-d+1..Y, and -log of a Beta(k, 1) is exponential with rate k, so -log W is a sum of independent exponentials whose rates are distinct whole numbers: P(W <= w) = sum_k A_k w^k, A_k = product over the other rates j of j/(j-k) (alternating; in double precision use instead uniformisation of the chain that runs through the rates in turn, all terms positive, or, between censorings, the Beta(a, b) that the run of rates makes). momentMatched: W replaced by the Beta(c, d) with its first two moments, c = (M1-M2) M1/(M2-M1^2), d = (M1-M2)(1-M1)/(M2-M1^2), M1 = product a/(a+b), M2 = product a(a+1)/((a+b)(a+b+1)) over the factors Beta(a, b) (Fan 1991; the fast form of the paper). With no censoring by t both are Clopper-Pearson; with no event by t the upper limit of incidence is 1 - a^(1/Y(t+)).',
        {}, dict(sets=out), 1e-8, 'Fay, Brittain & Proschan 2013, Biostatistics 14:723; Fan 1991', 'Checked in the making: equal to Clopper-Pearson at every t before which nobody was censored; equal to the closed form at every t before the first event.')
    c['data'] = files if len(files) > 1 else files[0]; c['columns'] = {'time': 'as named in each set', 'event': 'as named in each set', 'where': 'rows to keep'}
    return c
