# The reference side of survival-live.ts: reads cohorts, prints cohort,method,key,value rows.
suppressMessages(library(survival))
args <- commandArgs(TRUE)
d <- read.csv(args[1])
out <- file(args[2], "w")
say <- function(id, method, key, value) {
  if (length(value)) writeLines(sprintf("%d,%s,%s,%.17g", id, method, key, value), out)
}
for (id in unique(d$cohort)) {
  e <- d[d$cohort == id, ]
  plain <- Surv(e$time, e$event)
  late <- Surv(e$entry, e$time, e$event)
  for (ct in c("plain", "log", "log-log")) {
    f <- survfit(plain ~ 1, conf.type = ct)
    if (ct == "plain") { say(id, "survival", seq_along(f$time), f$surv)
      say(id, "standard error", seq_along(f$time), f$std.err * f$surv) }
    say(id, paste(ct, "lower"), seq_along(f$time), f$lower)
    say(id, paste(ct, "upper"), seq_along(f$time), f$upper)
    q <- quantile(f, c(.25, .5, .75))
    say(id, "quantile", c(25, 50, 75), q$quantile)
    say(id, paste("quantile", ct, "lower"), c(25, 50, 75), q$lower)
    say(id, paste("quantile", ct, "upper"), c(25, 50, 75), q$upper)
  }
  f <- survfit(late ~ 1)
  say(id, "delayed entry survival", seq_along(f$time), f$surv)
  say(id, "delayed entry error", seq_along(f$time), f$std.err * f$surv)
  f <- survfit(plain ~ 1, weights = weight, id = row, robust = TRUE, data = e)
  say(id, "weighted survival", seq_along(f$time), f$surv)
  say(id, "robust error", seq_along(f$time), f$std.err)
  f <- survfit(plain ~ 1, weights = weight, cluster = stratum, data = e)
  say(id, "clustered error", seq_along(f$time), f$std.err)
  say(id, "median follow-up", 50, quantile(survfit(Surv(e$time, 1 - e$event) ~ 1), .5)$quantile)
  tau <- max(e$time)
  m <- summary(survfit(plain ~ 1), rmean = tau)$table
  say(id, "restricted mean", 1, m[["rmean"]]); say(id, "its error", 1, m[["se(rmean)"]])
  test <- function(method, ...) {
    g <- tryCatch(survdiff(...), error = function(e) NULL)
    if (!is.null(g) && is.finite(g$chisq)) say(id, method, 1, g$chisq)
  }
  test("log-rank", plain ~ group, data = e)
  test("log-rank rho 1", plain ~ group, data = e, rho = 1)
  test("log-rank stratified", plain ~ group + strata(stratum), data = e)
  # with delayed entry: the score test at 0 of the exact partial likelihood is the log-rank test
  g <- tryCatch(coxph(late ~ factor(group), e, ties = "exact", iter.max = 0), error = function(e) NULL,
    warning = function(w) NULL)
  if (!is.null(g) && is.finite(g$score)) say(id, "log-rank delayed entry", 1, g$score)
}
close(out)
