# Check values of the calibration of predicted chances with a competing event: writes
# cases-calibration.json from data-3/risk-mgus2.csv.
# Run in this folder: Rscript make-calibration.R (R 4.2.2, stats and survival 3.5-3).
source("json-cases.R")
suppressMessages(library(survival))
VERSION <- paste0(VERSION, ", survival ", packageVersion("survival"))
d <- read.csv("data-3/risk-mgus2.csv")

## Weights by their definition: events before censorings at one time.
weights_at <- function(at) {
  G <- function(limit, inclusive) {
    g <- 1
    for (u in sort(unique(d$time[d$cause == 0]))) if (u < limit || (inclusive && u == limit))
      g <- g * (1 - sum(d$cause == 0 & d$time == u) / (sum(d$time >= u) - sum(d$cause != 0 & d$time == u)))
    g
  }
  vapply(seq_len(nrow(d)), function(i)
    if (d$time[i] <= at) { if (d$cause[i] == 0) 0 else 1 / G(d$time[i], FALSE) } else 1 / G(at, TRUE), 0)
}
share_of <- function(rows, at) {
  fit <- survfit(Surv(time, factor(cause, 0:2)) ~ 1, data = d[rows, ])
  s <- summary(fit, times = at)
  c(s$pstate[, 2], s$std.err[, 2])
}
at_horizon <- function(at) {
  p <- d[[paste0("risk", at)]]; w <- weights_at(at); y <- as.integer(d$cause == 1 & d$time <= at); x <- qlogis(p)
  keep <- w > 0
  sandwich <- function(X, mu) { W <- w[keep]; r <- W * (y[keep] - mu)
    B <- solve(crossprod(X * sqrt(W * mu * (1 - mu)))); B %*% crossprod(X * r) %*% B }
  slope <- suppressWarnings(glm(y ~ x, family = binomial, weights = w, subset = keep, epsilon = 1e-14, maxit = 100))
  large <- suppressWarnings(glm(y ~ 1, offset = x, family = binomial, weights = w, subset = keep, epsilon = 1e-14, maxit = 100))
  # fifths of nearly equal numbers, equal predictions together
  o <- order(p, seq_along(p)); n <- length(p); first <- 1; groups <- list()
  for (g in 1:5) { end <- round(n * g / 5); if (end < first) next
    while (end < n && p[o[end + 1]] == p[o[end]]) end <- end + 1
    groups[[length(groups) + 1]] <- o[first:end]; first <- end + 1 }
  all <- share_of(seq_len(n), at)
  list(slope = unname(coef(slope)[2]), slopeSe = sqrt(sandwich(cbind(1, x[keep]), fitted(slope))[2, 2]),
    intercept = unname(coef(large)), interceptSe = sqrt(sandwich(matrix(1, sum(keep)), fitted(large))[1, 1]),
    observedOverExpected = unname(all[1] / mean(p)),
    n = I(vapply(groups, length, 0L)), predicted = I(vapply(groups, function(g) mean(p[g]), 0)),
    observed = I(vapply(groups, function(g) share_of(g, at)[1], 0)))
}
times <- c(60, 120, 240)
add("calibration-competing-mgus2", "Calibration of predicted chances of cause 1 with a competing event, months", "risk-mgus2.csv",
  list(time = "time", event = "cause (1 of interest, 2 competing)", predicted = "risk60, risk120, risk240"),
  "Weights as in brier-auc-competing-mgus2, eventsBeforeCensorings, by their definition. Slope: glm(binomial) of cause 1 by the horizon on the log odds of the prediction, weighted; intercept: the same with the log odds as offset. Errors: sandwich of the weighted scores, weights taken as known. Groups: fifths in the order of prediction, equal ones together; observed: Aalen-Johansen by survfit in each.",
  list(times = I(times)), lapply(setNames(times, paste0("at", times)), at_horizon), 1e-7,
  "Gerds, Andersen & Kattan 2014, Stat Med 33:3191; Cox 1958, Biometrika 45:562")
write_cases("cases-calibration.json")
