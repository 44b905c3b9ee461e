# Shared data with values missing at random given the outcome, and pooled results of the reference
# library's chained equations on it (R 4.2.2, mice 3.15.0: pmm with 5 donors, logreg, polr, polyreg,
# 60 sets, 5 iterations). Run in this folder:  Rscript make-imputation.R
suppressMessages({library(mice); library(survival)})
source("json-cases.R")
set.seed(20240611)
n <- 600
x <- rnorm(n)
y <- 0.6 * x + 0.8 * rnorm(n)
ill <- rbinom(n, 1, plogis(-0.4 + 0.8 * y))
latent <- 0.7 * y - 0.5 * x + rlogis(n)
grade <- as.integer(cut(latent, c(-Inf, -1, 0.4, 1.6, Inf))) - 1
kind <- sapply(seq_len(n), function(i) sample(0:2, 1, prob = c(1, exp(0.3 + 0.6 * x[i]), exp(-0.2 + 0.7 * y[i]))))
treated <- rbinom(n, 1, plogis(0.2 - 0.5 * x - 0.5 * y - 0.5 * ill + 0.2 * grade))
died <- rexp(n, 0.08 * exp(0.3 * x + 0.4 * y + 0.4 * ill + 0.1 * grade - 0.3 * treated))
end <- runif(n, 3, 12)
time <- round(pmin(died, end), 4)
event <- as.integer(died <= end)
lose <- function(v, shift) { v[runif(n) < plogis(shift + 0.8 * event + 0.4 * x)] <- NA; v }
d <- data.frame(x = round(x, 4), y = round(lose(y, -1.6), 4), ill = lose(ill, -1.8),
  grade = lose(grade, -1.7), kind = lose(kind, -1.9), treated, time, event)
write.csv(d, "data/imputation.csv", row.names = FALSE, na = "")

fit <- survfit(Surv(time, event) ~ 1, data = d)
steps <- summary(fit, times = d$time)
hazard <- cumsum(fit$n.event / fit$n.risk)[match(d$time, fit$time)]
work <- with(d, data.frame(x, y, ill = factor(ill), grade = factor(grade, ordered = TRUE),
  kind = factor(kind), treated, event, hazard))
m <- 60
method <- c(x = "", y = "pmm", ill = "logreg", grade = "polr", kind = "polyreg", treated = "", event = "", hazard = "")
imp <- mice(work, m = m, maxit = 5, method = method, printFlag = FALSE, seed = 1)
sets <- lapply(seq_len(m), function(k) {
  full <- complete(imp, k)
  full$ill <- as.numeric(as.character(full$ill)); full$grade <- as.numeric(as.character(full$grade))
  full
})
pooled <- function(q, u) {
  b <- var(q)
  list(estimate = mean(q), within = mean(u), between = b, total = mean(u) + (1 + 1 / m) * b)
}
fits <- lapply(sets, function(full) summary(glm(treated ~ x + y + ill + grade + I(kind == 1) + I(kind == 2), binomial, full))$coefficients)
terms <- rownames(fits[[1]])
out <- list(
  source = paste("R", getRversion(), "mice", as.character(packageVersion("mice")), "make-imputation.R"),
  sets = m,
  logistic = setNames(lapply(seq_along(terms), function(j)
    pooled(sapply(fits, function(f) f[j, 1]), sapply(fits, function(f) f[j, 2])^2)),
    c("(constant)", "x", "y", "ill", "grade", "kind1", "kind2")),
  means = list(
    y = pooled(sapply(sets, function(f) mean(f$y)), sapply(sets, function(f) var(f$y) / n)),
    ill = pooled(sapply(sets, function(f) mean(f$ill)), sapply(sets, function(f) var(f$ill) / n)),
    grade = pooled(sapply(sets, function(f) mean(f$grade)), sapply(sets, function(f) var(f$grade) / n)),
    kind1 = pooled(sapply(sets, function(f) mean(f$kind == 1)), sapply(sets, function(f) var(f$kind == 1) / n)),
    kind2 = pooled(sapply(sets, function(f) mean(f$kind == 2)), sapply(sets, function(f) var(f$kind == 2) / n))))
writeLines(json(out), "imputation.json")
