# Check values of the linear model, the decision curve and the spread between units: writes
# data-programme/{change,marks}.csv and cases-programme-models.json.
# Run in this folder: Rscript make-programme-models.R (R 4.2.2, stats only; every method written out).
source("json-cases.R")

## ---------- change of ejection fraction, invented ----------
set.seed(7)
n <- 160
before <- round(rnorm(n, 60, 7)); surgeon <- sample(LETTERS[1:11], n, TRUE); age <- round(rnorm(n, 64, 10)); w <- round(runif(n, .4, 3), 2)
change <- round(-.4 * (before - 55) - .03 * (age - 60) + rnorm(n, -4 + as.integer(factor(surgeon)) / 6, 3 + abs(before - 60) / 3), 1)
write.csv(data.frame(before, age, surgeon, w, change), "data-programme/change.csv", row.names = FALSE, quote = FALSE)
robust <- function(X, y, w, how, g = NULL) { sw <- sqrt(w); Z <- X * sw; B <- solve(crossprod(Z)); b <- drop(B %*% crossprod(Z, y * sw)); r <- drop((y - X %*% b) * sw)
  h <- rowSums((Z %*% B) * Z); k <- ncol(X); N <- nrow(X)
  M <- switch(how, equal = crossprod(Z) * sum(r^2) / (N - k), robust = crossprod(Z * r / (1 - h)),
    cluster = { S <- rowsum(Z * r, g); G <- nrow(S); crossprod(S) * G / (G - 1) * (N - 1) / (N - k) })
  V <- B %*% M %*% B; df <- if (is.null(g)) N - k else length(unique(g)) - 1
  list(coef = I(b), se = I(sqrt(diag(V))), p = I(2 * pt(-abs(b / sqrt(diag(V))), df)), df = df, sigma = sqrt(sum(r^2) / (N - k)),
    covariance = I(as.vector(V)), mean60_70 = sum(c(1, 60, 70) * b), se60_70 = sqrt(drop(c(1, 60, 70) %*% V %*% c(1, 60, 70)))) }
X <- cbind(1, before, age); one <- rep(1, n)
stopifnot(max(abs(robust(X, change, one, "equal")$se - summary(lm(change ~ before + age))$coefficients[, 2])) < 1e-12)
add("linear-change", "Linear regression with equal-variance, robust and cluster-robust errors", "change.csv",
  list(outcome = "change", covariates = "before, age", weight = "w", cluster = "surgeon"),
  "Least squares of change on before and age. equal: lm. robust: each squared residual over (1 - leverage)^2 (HC3). cluster: scores summed over surgeons, times G/(G-1) (n-1)/(n-p), t with G-1 df. weighted: weights w, robust. mean60_70: mean at before = 60, age = 70.",
  list(), list(equal = robust(X, change, one, "equal"), robust = robust(X, change, one, "robust"), cluster = robust(X, change, one, "cluster", surgeon),
    weighted = robust(X, change, w, "robust"), explained = summary(lm(change ~ before + age))$r.squared), 1e-9,
  "White 1980, Econometrica 48:817; MacKinnon & White 1985, J Econometrics 29:305; Liang & Zeger 1986, Biometrika 73:13")

## ---------- decision curve ----------
set.seed(12)
m <- 300; risk <- round(plogis(rnorm(m, -1.2, 1)), 3); impaired <- rbinom(m, 1, plogis(qlogis(risk) * .8)); mark <- as.integer(risk > .35); v <- round(runif(m, .5, 2), 2)
write.csv(data.frame(risk, mark, w = v, impaired), "data-programme/marks.csv", row.names = FALSE, quote = FALSE)
at <- c(.05, .1, .2, .3, .5)
benefit <- function(acts, t, w = rep(1, m)) vapply(seq_along(t), function(k) { a <- if (is.matrix(acts)) acts[, k] else acts; (sum(w * a * impaired) - sum(w * a * (1 - impaired)) * t[k] / (1 - t[k])) / sum(w) }, 0)
se <- function(acts, t) vapply(seq_along(t), function(k) { a <- if (is.matrix(acts)) acts[, k] else acts; x <- a * impaired - a * (1 - impaired) * t[k] / (1 - t[k]); sqrt(mean((x - mean(x))^2) / m) }, 0)
byrisk <- outer(risk, at, ">=") * 1
add("decision-curve", "Net benefit of acting by a risk, by a mark, on all", "marks.csv", list(outcome = "impaired", risk = "risk", mark = "mark", weight = "w"),
  "Net benefit at a threshold t: true positives / n - false positives / n * t / (1 - t); acting on risk >= t, on the mark, or on all. Standard error: root of the mean square about the mean over n.",
  list(thresholds = at), list(risk = I(benefit(byrisk, at)), mark = I(benefit(mark, at)), all = I(benefit(rep(1, m), at)), riskSe = I(se(byrisk, at)), markSe = I(se(mark, at)), weightedRisk = I(benefit(byrisk, at, v))), 1e-10,
  "Vickers & Elkin 2006, Med Decis Making 26:565")
## ---------- limits of the spread between units, allowing for the terms having been fitted ----------
u <- read.csv("data-programme/units.csv"); Z <- cbind(1, u$hard, u$redo); G <- factor(u$unit)
node <- seq(-8, 8, length.out = 161); mass <- dnorm(node) * (node[2] - node[1])
marginal <- function(b, s) { eta <- outer(drop(Z %*% b), s * node, "+"); l <- rowsum(u$y * eta - log1p(exp(eta)), G); top <- apply(l, 1, max)
  sum(top + log(drop(exp(l - top) %*% mass))) }
b0 <- coef(glm(u$y ~ u$hard + u$redo, family = binomial))
adjusted <- function(s) { o <- optim(b0, function(b) -marginal(b, s), method = "BFGS", control = list(reltol = 1e-14, maxit = 500))
  -o$value - .5 * determinant(optimHess(o$par, function(b) -marginal(b, s), control = list(ndeps = rep(1e-4, 3))))$modulus[1] }
best <- optimize(adjusted, c(0.05, 2), maximum = TRUE, tol = 1e-6)
edge <- function(from, to) uniroot(function(s) best$objective - adjusted(s) - qchisq(.95, 1) / 2, c(from, to), tol = 1e-6)$root
lower <- if (best$objective - adjusted(0) < qchisq(.95, 1) / 2) 0 else edge(0, best$maximum)
add("spread-adjusted-limits", "Limits of the spread between twelve units, allowing for the terms having been fitted", "units.csv",
  list(outcome = "y", unit = "unit", covariates = "hard, redo"),
  "Profile of the random-intercept likelihood over the spread (trapezoid rule, 161 points from -8 to 8; optim), less half the log determinant of the information of (constant, hard, redo) at that spread (Cox and Reid). Estimate: its peak. Limits: where it has fallen by half the 0.95 quantile of chi-square 1 df.",
  list(), list(estimate = best$maximum, lower = lower, upper = edge(best$maximum, 3)), 1e-3,
  "Cox & Reid 1987, JRSS B 49:1")
write_cases("cases-programme-models.json")
