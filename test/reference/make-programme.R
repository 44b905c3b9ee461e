# Check values of the programme's own quality: writes data-programme/*.csv and cases-programme.json.
# Run in this folder: Rscript make-programme.R (R 4.2.2, stats only). Every method is written out here;
# nothing but glm, lm, optim and uniroot is used.
source("json-cases.R")

## ---------- operations of twelve units, invented ----------
set.seed(41)
size <- c(90, 75, 70, 60, 55, 50, 45, 40, 30, 25, 12, 8)
unit <- rep(sprintf("U%02d", 1:12), size)
n <- length(unit)
hard <- round(rnorm(n), 2); redo <- rbinom(n, 1, .15)
own <- rnorm(12, 0, .6)
y <- rbinom(n, 1, plogis(-1.4 + .8 * hard + .5 * redo + own[as.integer(factor(unit))]))
mixed <- data.frame(unit, hard, redo, y)[sample(n), ]
write.csv(mixed, "data-programme/units.csv", row.names = FALSE, quote = FALSE)
X <- cbind(1, mixed$hard, mixed$redo); g <- as.integer(factor(mixed$unit))

## marginal likelihood by the trapezoid rule over u, which is exact to rounding for such integrands
U <- seq(-9, 9, length.out = 721); H <- U[2] - U[1]
unit_logs <- function(b, s) vapply(1:12, function(k) { r <- g == k
  e <- drop(X[r, , drop = FALSE] %*% b); f <- vapply(U, function(u) sum(plogis((2 * mixed$y[r] - 1) * (e + s * u), log.p = TRUE)), 0) + dnorm(U, log = TRUE)
  m <- max(f); m + log(sum(exp(f - m)) * H) }, 0)
nll <- function(th) -sum(unit_logs(th[1:3], th[4]))
start <- c(coef(glm(y ~ hard + redo, binomial, mixed)), .5)
o <- optim(start, nll, method = "BFGS", control = list(reltol = 1e-15, maxit = 500, ndeps = rep(1e-5, 4)))
# Newton steps on finite differences of fourth order, to take the optimum further
grad <- function(f, x, h = 1e-3) vapply(seq_along(x), function(j) { d <- replace(numeric(length(x)), j, h)
  (-f(x + 2 * d) + 8 * f(x + d) - 8 * f(x - d) + f(x - 2 * d)) / (12 * h) }, 0)
hess <- function(f, x, h = 1e-3) { A <- vapply(seq_along(x), function(j) { d <- replace(numeric(length(x)), j, h)
  (-grad(f, x + 2 * d) + 8 * grad(f, x + d) - 8 * grad(f, x - d) + grad(f, x - 2 * d)) / (12 * h) }, numeric(length(x))); (A + t(A)) / 2 }
th <- o$par; Hm <- hess(nll, th)
for (k in 1:6) th <- th - solve(Hm, grad(nll, th))
Hm <- hess(nll, th); V <- solve(Hm)
post <- t(vapply(1:12, function(k) { r <- g == k; e <- drop(X[r, , drop = FALSE] %*% th[1:3])
  f <- vapply(U, function(u) sum(plogis((2 * mixed$y[r] - 1) * (e + th[4] * u), log.p = TRUE)), 0) + dnorm(U, log = TRUE)
  w <- exp(f - max(f)); w <- w / sum(w); m <- sum(w * U); c(m, sqrt(sum(w * (U - m)^2))) * th[4] }, numeric(2)))
ll0 <- as.numeric(logLik(glm(y ~ hard + redo, binomial, mixed)))
profile <- function(s) { p <- optim(th[1:3], function(b) -sum(unit_logs(b, s)), method = "BFGS", control = list(reltol = 1e-14)); -p$value }
cut <- function(s) profile(s) - (-nll(th) - qchisq(.95, 1) / 2)
lower <- uniroot(cut, c(.05, th[4]), tol = 1e-7)$root; upper <- uniroot(cut, c(th[4], 3), tol = 1e-7)$root
add("random-intercept-units", "Logistic regression with a random intercept for each of twelve units", "units.csv",
  list(outcome = "y", unit = "unit", covariates = "hard, redo"),
  "log odds = constant + b1 hard + b2 redo + spread u, u standard normal for each unit; integral over u by the trapezoid rule on 721 points from -9 to 9; maximum by optim, then Newton on finite differences; standard errors from the inverse Hessian in (constant, b1, b2, spread); unit effects: mean and standard deviation of spread u given the data at the estimates; limits of the spread: profile likelihood, chi-square 1 df.",
  list(), list(coef = th[1:3], se = sqrt(diag(V))[1:3], spread = th[4], spreadSe = sqrt(V[4, 4]), logLik = -nll(th), logLikNone = ll0,
    spreadLower = lower, spreadUpper = upper, effect = post[, 1], effectSe = post[, 2]), 1e-5,
  "computed by the formulas; adaptive quadrature: Liu & Pierce 1994, Biometrika 81:624")

## ---------- indirect standardisation ----------
fit <- glm(y ~ hard + redo, binomial, mixed, control = list(epsilon = 1e-14)); p <- fitted(fit)
pb <- function(q) { f <- 1; for (one in q) f <- c(f * (1 - one), 0) + c(0, f * one); f }   # Poisson-binomial
shift <- function(q, t) plogis(qlogis(q) + t)
S <- do.call(rbind, lapply(1:12, function(k) { r <- g == k; q <- p[r]; O <- sum(mixed$y[r]); E <- sum(q); m <- sum(r)
  w <- q * (1 - q); C <- colSums(X[r, , drop = FALSE] * w); W <- p * (1 - p); I <- crossprod(X * W, X)
  kept <- 1 - drop(C %*% solve(I, C)) / sum(w)
  at_least <- function(t) { f <- pb(shift(q, t)); sum(f[(O + 1):(m + 1)]) }; at_most <- function(t) { f <- pb(shift(q, t)); sum(f[1:(O + 1)]) }
  est <- if (O == 0) -Inf else if (O == m) Inf else uniroot(function(t) sum(shift(q, t)) - O, c(-12, 12), tol = 1e-12)$root
  lo <- if (O == 0) -Inf else uniroot(function(t) at_least(t) - .025, c(-14, 14), tol = 1e-12)$root
  hi <- if (O == m) Inf else uniroot(function(t) at_most(t) - .025, c(-14, 14), tol = 1e-12)$root
  rate <- function(t) mean(shift(p, t))
  data.frame(n = m, observed = O, expected = E, ratio = O / E, oddsRatio = exp(est), oddsLower = exp(lo), oddsUpper = exp(hi),
    rate = rate(est), rateLower = rate(lo), rateUpper = rate(hi), varianceKept = kept) }))
add("standardised-rates-units", "Indirectly standardised rates of twelve units, odds scale, exact limits", "units.csv",
  list(outcome = "y", unit = "unit", covariates = "hard, redo"),
  "Expected risks p from glm without units. Of a unit: observed O, expected sum of p. Odds ratio t: the sum over the unit of expit(logit p + log t) equals O; limits: P(N >= O) = .025 and P(N <= O) = .025, N the sum of independent outcomes with risks expit(logit p + log t) (Poisson-binomial, by convolution). rate: mean over all rows of expit(logit p + log t). varianceKept: 1 - C' I^-1 C / sum p(1-p), C = sum over the unit of p(1-p)(1, hard, redo), I the information of the glm: the share of the variance of O - E that fitting the model to the same rows leaves.",
  list(), lapply(as.list(S), I), 1e-7, "computed by the formulas; exact test of a sum: Wang 1993, Statistica Sinica 3:295")

write_cases("cases-programme.json")
