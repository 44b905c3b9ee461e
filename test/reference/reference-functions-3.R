# Reference (oracle) functions used by make-reference-3.R in this folder.
# General-purpose R packages only: survival, nnet, metafor, riskRegression (+ prodlim), boot, coin, MatchIt.
options(digits = 17, stringsAsFactors = FALSE, warn = 1)
suppressPackageStartupMessages({ library(survival); library(nnet); library(metafor); library(riskRegression); library(boot); library(coin); library(cmprsk) })

## ---------- JSON ----------
jstr <- function(s) { s <- gsub("\\", "\\\\", s, fixed = TRUE); s <- gsub("\"", "\\\"", s, fixed = TRUE)
  s <- gsub("\n", "\\n", s, fixed = TRUE); s <- gsub("\t", "\\t", s, fixed = TRUE); paste0("\"", enc2utf8(s), "\"") }
jnum <- function(x) {
  out <- character(length(x))
  for (i in seq_along(x)) { v <- x[i]
    if (is.na(v)) { out[i] <- "null"; next }
    if (is.infinite(v)) { out[i] <- if (v > 0) "\"Infinity\"" else "\"-Infinity\""; next }
    for (d in 15:17) { s <- sprintf(paste0("%.", d, "g"), v); if (d == 17 || identical(as.numeric(s), as.numeric(v))) break }
    out[i] <- s }
  out }
arr <- function(x) { class(x) <- c("jsonarray", setdiff(class(x), "jsonarray")); x }   # force array even when length 1
json <- function(x, ind = 0) {
  pad <- strrep(" ", ind); pad2 <- strrep(" ", ind + 1)
  if (is.null(x)) return("null")
  isarr <- inherits(x, "jsonarray")
  if (is.data.frame(x)) { x <- lapply(as.list(x), arr) }
  if (is.matrix(x)) { x <- lapply(seq_len(nrow(x)), function(i) arr(unname(x[i, ]))); return(json(x, ind)) }
  if (is.list(x)) {
    if (isarr) class(x) <- NULL
    if (is.null(names(x))) { if (!length(x)) return("[]")
      return(paste0("[\n", paste0(pad2, vapply(x, json, "", ind = ind + 1), collapse = ",\n"), "\n", pad, "]")) }
    if (!length(x)) return("{}")
    return(paste0("{\n", paste0(pad2, vapply(names(x), jstr, ""), ": ", vapply(x, json, "", ind = ind + 1), collapse = ",\n"), "\n", pad, "}"))
  }
  nm <- names(x); if (isarr) nm <- NULL
  v <- unclass(x); if (is.factor(x)) v <- as.character(x)
  el <- if (is.character(v)) ifelse(is.na(v), "null", vapply(v, jstr, "")) else if (is.logical(v)) ifelse(is.na(v), "null", ifelse(v, "true", "false")) else jnum(as.numeric(v))
  el <- unname(el)
  if (!is.null(nm)) return(paste0("{", paste0(vapply(nm, jstr, ""), ": ", el, collapse = ", "), "}"))
  if (length(el) == 1 && !isarr) return(el)
  paste0("[", paste0(el, collapse = ", "), "]")
}

## ---------- case registry ----------
CASES <- list(); PUB <- list()
pv <- function(quantity, printed, computed, how = "from memory") {
  printed <- as.character(printed)
  dec <- if (grepl("e", printed)) 0 else if (grepl(".", printed, fixed = TRUE)) nchar(sub(".*\\.", "", printed)) else 0
  agree <- abs(as.numeric(printed) - computed) <= 0.5 * 10^(-dec) + 1e-9
  list(quantity = quantity, printed = printed, decimals = dec, computed = as.numeric(computed), agrees = isTRUE(unname(agree)), how = how)
}
lib <- function(citation = "R 4.2.2, package survival 3.5-3 (Therneau)") list(kind = "reference-library", citation = citation, publishedValues = list())
both <- function(citation, ...) list(kind = "both", citation = citation, publishedValues = list(...))
addcase <- function(id, what, data, columns, method, options = list(), expected, tolerance = list(relative = 1e-8, absolute = 1e-10),
                    source = lib(), note = "") {
  stopifnot(!(id %in% names(CASES)))
  if (length(data)) for (f in data) stopifnot(file.exists(at(f)))
  CASES[[id]] <<- list(id = id, what = what, data = if (length(data)) { if (length(data) > 1) arr(data) else data } else NULL, columns = columns, method = method, options = options,
                       expected = expected, tolerance = tolerance, source = source, note = note)
  for (p in source$publishedValues) PUB[[length(PUB) + 1]] <<- c(id = id, p[c("quantity", "printed", "computed", "agrees", "how")])
}
at <- function(f) if (file.exists(file.path("data-3", f))) file.path("data-3", f) else file.path("data", f)
rd <- function(f) read.csv(at(f), stringsAsFactors = FALSE)
finish <- function() {
  con <- file("cases-3-r.json", "w", encoding = "UTF-8"); writeLines(json(unname(CASES)), con); close(con)
  cat(length(CASES), "cases written\n")
  for (p in PUB) cat(if (isTRUE(p$agrees)) "AGREES   " else "DISAGREES", p$id, "|", p$quantity, "| printed", p$printed, "| computed", format(p$computed, digits = 9), "\n")
}
chk <- function(a, b, tol = 1e-8, msg = "") { d <- max(abs(unname(a) - unname(b)) / pmax(1, abs(unname(b)))); if (!is.finite(d) || d > tol) stop("cross-check failed: ", msg, " max diff ", d); invisible(d) }

VERS <- function(...) paste0("R ", getRversion(), "; ", paste(sapply(c(...), function(p) paste(p, packageVersion(p))), collapse = ", "))
Z <- qnorm(.975)
T10 <- list(relative = 1e-10, absolute = 1e-12); T8 <- list(relative = 1e-8, absolute = 1e-10); T6 <- list(relative = 1e-6, absolute = 1e-8)

## ---------- several arms ----------
multinomial <- function(arm, X) {                    # Newton from 0 on the standardised columns; first arm (sorted) is the reference
  lv <- sort(unique(arm)); J <- length(lv); Y <- sapply(lv[-1], function(l) +(arm == l)); m <- colMeans(X); s <- apply(X, 2, sd)
  D <- cbind(1, sweep(sweep(X, 2, m), 2, s, "/")); p <- ncol(D); b <- matrix(0, p, J - 1); ll <- function(b) { e <- D %*% b; M <- pmax(apply(e, 1, max), 0); sum(rowSums(Y * e)) - sum(M + log(exp(-M) + rowSums(exp(e - M)))) }
  cur <- ll(b)
  for (it in 1:200) {
    e <- cbind(0, D %*% b); e <- exp(e - apply(e, 1, max)); P <- e / rowSums(e); g <- c(t(D) %*% (Y - P[, -1])); H <- matrix(0, p * (J - 1), p * (J - 1))
    for (j in 1:(J - 1)) for (k in 1:(J - 1)) H[(j - 1) * p + 1:p, (k - 1) * p + 1:p] <- t(D) %*% (D * (P[, j + 1] * ((j == k) - P[, k + 1])))
    st <- matrix(solve(H, g), p); h <- 1; while (ll(b + h * st) < cur - 1e-9 * abs(cur) && h > 1e-4) h <- h / 2
    b <- b + h * st; cur <- ll(b); if (max(abs(st)) < 1e-14) break }
  e <- cbind(0, D %*% b); e <- exp(e - apply(e, 1, max)); P <- e / rowSums(e); stopifnot(max(abs(t(D) %*% (Y - P[, -1]))) < 1e-9)
  Tm <- rbind(c(1, -m / s), cbind(0, diag(1 / s, length(s)))); B <- Tm %*% b; V <- kronecker(diag(J - 1), Tm) %*% solve(H) %*% t(kronecker(diag(J - 1), Tm)); se <- matrix(sqrt(diag(V)), p)
  df <- data.frame(arm = factor(arm, lv), X); f <- multinom(arm ~ ., df, trace = FALSE, reltol = 1e-18, abstol = 1e-20, maxit = 20000, MaxNWts = 5000)
  chk(cur, as.numeric(logLik(f)), 1e-9, "multinom logLik"); chk(P, fitted(f) |> (\(z) if (is.matrix(z)) z else cbind(1 - z, z))(), 1e-4, "multinom fitted")
  cat("  nnet::multinom: log-likelihood difference", format(cur - as.numeric(logLik(f)), digits = 3), ", largest probability difference", format(max(abs(P - fitted(f))), digits = 3), "\n")
  list(arms = lv, P = P, coef = t(B), se = t(se), loglik = cur) }
arm_km <- function(time, event, w, times) {          # weighted Kaplan-Meier with the infinitesimal-jackknife SE, weights known
  u <- sort(unique(time[event == 1])); n <- length(time); S <- 1; L <- numeric(n); est <- se <- numeric(length(times)); at <- 1
  rec <- function() c(S, sqrt(sum((w * S * L)^2)))
  out <- sapply(times, function(t) { S <<- 1; L <<- numeric(n); for (x in u[u <= t]) { r <- time >= x; e <- time == x & event == 1; Y <- sum(w[r]); D <- sum(w[e]); if (Y > D) L <<- L - (e - r * D / Y) / (Y - D); S <<- S * (1 - D / Y) }; rec() })
  f <- summary(survfit(Surv(time, event) ~ 1, weights = w, robust = TRUE), times = times, extend = TRUE); chk(out[1, ], f$surv, 1e-10, "weighted KM"); chk(out[2, ], f$std.err, 1e-8, "robust SE")
  list(survival = arr(out[1, ]), standardError = arr(out[2, ])) }
smd_arms <- function(X, arm, w, lv) {
  do.call(rbind, lapply(colnames(X), function(v) { x <- X[, v]; bin <- all(x %in% 0:1); m <- sapply(lv, function(l) weighted.mean(x[arm == l], w[arm == l])); s2 <- sapply(lv, function(l) { y <- x[arm == l]; if (bin) mean(y) * (1 - mean(y)) else var(y) })
    pr <- combn(length(lv), 2); a <- abs(m[pr[1, ]] - m[pr[2, ]]); d1 <- a / sqrt((s2[pr[1, ]] + s2[pr[2, ]]) / 2); d2 <- a / sqrt(mean(s2)); i1 <- which.max(d1); i2 <- which.max(d2)
    data.frame(variable = v, largestPairDenominator = d1[i1], pairOfLargest = paste(lv[pr[1, i1]], lv[pr[2, i1]], sep = " | "), largestAllArmsDenominator = d2[i2]) })) }
arms_case <- function(arm, X, time, event, times, rows, target) {
  f <- multinomial(arm, X); lv <- f$arms; k <- match(arm, lv); own <- f$P[cbind(seq_along(k), k)]; h <- 1 / rowSums(1 / f$P)
  W <- list(overlap = h / own, everyone = 1 / own); W[[paste0("target:", target)]] <- f$P[, match(target, lv)] / own
  est <- lapply(W, function(w) {
    km <- setNames(lapply(lv, function(l) arm_km(time[arm == l], event[arm == l], w[arm == l], times)), lv); pr <- combn(lv, 2)
    dif <- lapply(seq_len(ncol(pr)), function(i) { a <- km[[pr[2, i]]]; b <- km[[pr[1, i]]]; d <- unclass(a$survival) - unclass(b$survival); s <- sqrt(unclass(a$standardError)^2 + unclass(b$standardError)^2); list(contrast = paste(pr[2, i], "minus", pr[1, i]), difference = arr(d), standardError = arr(s), lower = arr(d - Z * s), upper = arr(d + Z * s)) })
    list(weightAtRows = arr(w[rows]), sumByArm = sapply(setNames(lv, lv), function(l) sum(w[arm == l])), largestByArm = sapply(setNames(lv, lv), function(l) max(w[arm == l])), effectiveSizeByArm = sapply(setNames(lv, lv), function(l) sum(w[arm == l])^2 / sum(w[arm == l]^2)), survival = km, differences = dif, balance = smd_arms(X, arm, w, lv)) })
  list(arms = arr(lv), n = sapply(setNames(lv, lv), function(l) sum(arm == l)), terms = arr(c("(constant)", colnames(X))), reference = lv[1], coefficients = setNames(lapply(seq_len(nrow(f$coef)), function(i) arr(unname(f$coef[i, ]))), lv[-1]), standardErrors = setNames(lapply(seq_len(nrow(f$se)), function(i) arr(unname(f$se[i, ]))), lv[-1]),
    logLikelihood = f$loglik, logLikelihoodConstantsOnly = sum(table(arm) * log(table(arm) / length(arm))), rows = arr(rows), probabilitiesAtRows = lapply(seq_along(rows), function(i) arr(unname(f$P[rows[i], ]))), meanProbability = arr(colMeans(f$P)), smallestProbability = min(f$P), times = arr(times), balanceUnweighted = smd_arms(X, arm, rep(1, length(arm)), lv), weights = est) }
ARMS_METHOD <- "Scores: multinomial logistic regression by maximum likelihood, arms in sorted label order, the first the reference (probabilities do not depend on that): e_j(x) = exp(x'b_j)/sum_k exp(x'b_k), b_1 = 0, x with a leading 1; Newton-Raphson with the full information (blocks sum_i x x' e_j (1{j=k} - e_k)) until the step is below 1e-14; standardErrors: root of the diagonal of its inverse. Probabilities in the order of arms. Weights, w_i for a patient of arm a_i: overlap (generalised overlap, Li & Li 2019) = (1/e_{a_i}(x_i)) / sum_k (1/e_k(x_i)); everyone = 1/e_{a_i}(x_i); target:<arm> = e_arm(x_i)/e_{a_i}(x_i) (1 inside that arm). Not normalised, not truncated (every result but weightAtRows, sumByArm and largestByArm is free of scale). effectiveSizeByArm = (sum w)^2/sum w^2. survival: per arm, weighted Kaplan-Meier S(t) = prod_{u<=t} (1 - D(u)/Y(u)), D and Y weighted events and weighted at risk (time >= u); standardError: infinitesimal jackknife with the weights taken as known, sqrt(sum_i (w_i dS(t)/dw_i)^2), dS(t)/dw_i = -S(t) sum_{u<=t} (1{i fails at u} - 1{i at risk at u} D(u)/Y(u)) / (Y(u) - D(u)). differences: later arm (in sorted order) minus earlier; variances of the two arms added; 95 % limits with 1.959963984540054. balance: per covariate the largest absolute difference of weighted means over all pairs of arms, over sqrt((s_j^2 + s_k^2)/2) of that pair (largestPairDenominator, with the pair) and over sqrt(mean of s^2 over all arms) (largestAllArmsDenominator, Li & Li 2019); s^2 from the UNWEIGHTED arms, n-1 variance, p(1-p) for 0/1 covariates. balanceUnweighted: the same with all weights 1. rows are 1-based rows of the file."

## ---------- prediction of events by t ----------
cens_km <- function(time, event, eventsFirst) { u <- sort(unique(time[event == 0])); g <- cumprod(sapply(u, function(x) { Y <- sum(time >= x); d <- sum(time == x & event > 0); c <- sum(time == x & event == 0); 1 - c / (Y - if (eventsFirst) d else 0) }))
  list(at = function(t) sapply(t, function(x) if (any(u <= x)) g[sum(u <= x)] else 1), before = function(t) sapply(t, function(x) if (any(u < x)) g[sum(u < x)] else 1)) }
ipcw <- function(time, event, t, eventsFirst) { G <- cens_km(time, event, eventsFirst); ifelse(time <= t & event > 0, 1 / G$before(time), ifelse(time > t, 1 / G$at(t), 0)) }
aj1 <- function(time, event, t) { u <- sort(unique(time[event > 0 & time <= t])); S <- 1; F <- 0; for (x in u) { Y <- sum(time >= x); F <- F + S * sum(time == x & event == 1) / Y; S <- S * (1 - sum(time == x & event > 0) / Y) }; F }
wauc <- function(m, wc, wk) { i <- which(wc > 0); j <- which(wk > 0); K <- outer(m[i], m[j], function(a, b) (a > b) + .5 * (a == b)); sum(wc[i] * (K %*% wk[j])) / (sum(wc[i]) * sum(wk[j])) }
score_at <- function(time, event, score, risks, times, competing) {
  one <- function(ef) { r <- lapply(seq_along(times), function(q) { t <- times[q]; w <- ipcw(time, event, t, ef); y <- +(time <= t & event == 1); F <- aj1(time, event, t); p <- risks[[q]]
    o <- list(time = t, cases = sum(y), meanWeight = mean(w), brier = mean(w * (y - p)^2), brierReference = mean(w * (y - F)^2), referenceRisk = F)
    o$index <- 1 - o$brier / o$brierReference; o$aucScore <- wauc(score, w * y, w * (1 - y)); o$aucRisk <- wauc(p, w * y, w * (1 - y)); if (competing) o$aucScoreControlsEventFree <- wauc(score, w * y, w * (time > t)); o })
    as.data.frame(do.call(rbind, lapply(r, as.data.frame))) }
  ef <- one(TRUE); ar <- one(FALSE)
  d <- data.frame(time = time, event = event)
  for (q in seq_along(times)) { s <- suppressWarnings(suppressMessages(Score(list(m = matrix(risks[[q]], ncol = 1)), formula = if (competing) Hist(time, event) ~ 1 else Surv(time, event) ~ 1, data = d, times = times[q], metrics = c("auc", "brier"), se.fit = FALSE, cens.model = "km", cause = 1, null.model = TRUE)))
    b <- s$Brier$score; a <- s$AUC$score; chk(b$Brier[b$model == "m"], ef$brier[q], 1e-9, "Score Brier"); chk(b$Brier[b$model == "Null model"], ef$brierReference[q], 1e-9, "Score Brier reference"); chk(a$AUC[a$model == "m"], ef$aucRisk[q], 1e-9, "Score AUC") }
  list(eventsBeforeCensorings = ef, everyoneAtRisk = ar) }
SCORE_METHOD <- "Inverse-probability-of-censoring weights from one marginal Kaplan-Meier G of the censoring time. Horizon t. Patient i counts with W_i = 1/G(T_i-) when an event (of any cause) happened at T_i <= t, with 1/G(t) when T_i > t, and with 0 when censored at or before t (T_i = t and censored: 0). G(T_i-) is the left limit (censorings strictly before T_i), G(t) includes censorings at t. Ties of events and censorings at one time u, two conventions: eventsBeforeCensorings: G loses the factor 1 - c/(Y - d) at u (c censored at u, d events of any cause at u, Y with time >= u), under which mean(W) is 1 and the weighted event frequency is the Kaplan-Meier/Aalen-Johansen estimate (as in riskRegression with cens.model = km); everyoneAtRisk: 1 - c/Y. brier = (1/n) sum W_i (y_i - p_i)^2, y_i = 1 when an event of cause 1 happened at T_i <= t, p_i the predicted probability of that (columns riskT1, riskT2, ... in the order of times). brierReference: the same with p_i = referenceRisk for everyone, 1 - Kaplan-Meier (Aalen-Johansen incidence of cause 1) at t of these patients. index = 1 - brier/brierReference. AUC at t, cumulative cases and dynamic controls: sum_i sum_j W_i W_j [1(m_i > m_j) + 0.5 1(m_i = m_j)] / (sum_i W_i sum_j W_j), i over cases (event of cause 1 by t), j over everyone else with a weight (event-free beyond t; with competing events also those with another cause by t); aucScore uses the column score, aucRisk the predicted probability as the marker."
conc <- function(formula, d, w = NULL, cl = NULL) { d$..w <- if (is.null(w)) 1 else d[[w]]; if (!is.null(cl)) d$..cl <- d[[cl]]; a <- list(as.name("concordance"), formula, data = quote(d), reverse = TRUE, weights = quote(..w)); if (!is.null(cl)) a$cluster <- quote(..cl); environment(a[[2]]) <- environment(); f <- eval(as.call(a))
  k <- f$count; if (is.matrix(k)) k <- colSums(k); list(concordant = k[["concordant"]], discordant = k[["discordant"]], tiedScore = k[["tied.x"]], tiedTime = k[["tied.y"]], tiedBoth = k[["tied.xy"]], estimate = unname(f$concordance), standardError = sqrt(c(f$var))) }
CONC_METHOD <- "Concordance of a given score (higher = earlier failure expected; nothing is fitted). A pair is comparable when the one with the shorter time failed and the other was still under observation: time longer, or equal and censored; two failures at one time are not comparable (tiedTime, tiedBoth when their scores are equal too); both in one stratum. estimate = (concordant + tiedScore/2)/(concordant + discordant + tiedScore), each pair counting w_i w_j. standardError: infinitesimal jackknife, sqrt(sum over clusters of (sum_{i in cluster} w_i dC/dw_i)^2), dC/dw_i = (N_i - C D_i)/D, D the total weight of comparable pairs, D_i = sum of w_j over comparable pairs with i, N_i the concordant of these with ties a half. Without clusters each row is its own. Scores count as tied when they are equal as given."

## ---------- Nelson-Aalen ----------
na_table <- function(time, event, entry = NULL, times = NULL) { en <- if (is.null(entry)) rep(-Inf, length(time)) else entry; u <- sort(unique(time[event == 1])); Y <- sapply(u, function(x) sum(en < x & time >= x)); d <- sapply(u, function(x) sum(time == x & event == 1))
  H <- cumsum(d / Y); va <- cumsum(d / Y^2); vb <- cumsum(d * (Y - d) / Y^3); vk <- cumsum(ifelse(Y > 1, d * (Y - d) / ((Y - 1) * Y^2), 0)); i <- if (is.null(times)) seq_along(u) else sapply(times, function(t) sum(u <= t)); stopifnot(all(i > 0)); S <- if (is.null(entry)) Surv(time, event) else Surv(entry, time, event)
  f <- summary(survfit(S ~ 1), times = if (is.null(times)) u else times, extend = TRUE); chk(f$cumhaz, H[i], 1e-12, "cumhaz"); chk(f$std.chaz, sqrt(va[i]), 1e-10, "std.chaz")
  lim <- function(s) list(se = arr(s), plainLower = arr(pmax(0, H[i] - Z * s)), plainUpper = arr(H[i] + Z * s), logLower = arr(H[i] * exp(-Z * s / H[i])), logUpper = arr(H[i] * exp(Z * s / H[i])))
  list(time = arr(if (is.null(times)) u else times), atRisk = if (is.null(times)) arr(Y) else arr(sapply(times, function(t) sum(en < t & time >= t))), cumulativeHazard = arr(H[i]), survivalExpMinusH = arr(exp(-H[i])), aalen = lim(sqrt(va[i])), binomial = lim(sqrt(vb[i])), klein = lim(sqrt(vk[i]))) }
na_weighted <- function(time, event, w, times) { u <- sort(unique(time[event == 1])); n <- length(time)
  o <- sapply(times, function(t) { H <- 0; L <- numeric(n); vf <- vw <- 0; for (x in u[u <= t]) { r <- time >= x; e <- time == x & event == 1; Y <- sum(w[r]); D <- sum(w[e]); H <- H + D / Y; L <- L + (e - r * D / Y) / Y; vf <- vf + D / Y^2; vw <- vw + sum(w[e]^2) / Y^2 }; c(H, sqrt(sum((w * L)^2)), sqrt(vf), sqrt(vw)) })
  f <- summary(survfit(Surv(time, event) ~ 1, weights = w, robust = TRUE), times = times, extend = TRUE); chk(f$cumhaz, o[1, ], 1e-12); chk(f$std.chaz, o[2, ], 1e-9, "robust std.chaz")
  H <- o[1, ]; s <- o[2, ]; list(times = arr(times), cumulativeHazard = arr(H), robustSe = arr(s), robustLogLower = arr(H * exp(-Z * s / H)), robustLogUpper = arr(H * exp(Z * s / H)), seWeightsAsCounts = arr(o[3, ]), seSquaredWeights = arr(o[4, ])) }
NA_METHOD <- "Nelson-Aalen cumulative hazard H(t) = sum_{u<=t} d(u)/Y(u), u the distinct event times, d events at u, Y at risk just before u (time >= u, and entry < u under delayed entry). Variances: aalen sum d/Y^2 (Aalen 1978); binomial sum d(Y-d)/Y^3; klein sum d(Y-d)/((Y-1)Y^2) (Klein 1991; terms with Y = 1 are 0). se their roots. 95 % limits: plain H +/- z se, lower not below 0; log H exp(+/- z se/H); z = 1.959963984540054. survivalExpMinusH = exp(-H)."
NAW_METHOD <- "Weighted Nelson-Aalen: H(t) = sum_{u<=t} D(u)/Y(u), D and Y weighted events and weighted at risk. robustSe (weights known, not counts): sqrt(sum_i (w_i dH/dw_i)^2), dH/dw_i = sum_{u<=t} (1{i fails at u} - 1{i at risk at u} D(u)/Y(u))/Y(u); robustLog limits H exp(+/- z robustSe/H). seWeightsAsCounts: sqrt(sum D/Y^2) (a weight of 2 counts as two patients). seSquaredWeights: sqrt(sum over events of w_i^2/Y^2)."
## ---------- conditional survival ----------
cond_surv <- function(time, event, s, times, w = NULL) { n <- length(time); ww <- if (is.null(w)) rep(1, n) else w; u <- sort(unique(time[event == 1]))
  o <- sapply(times, function(t) { S <- 1; v <- 0; L <- numeric(n); for (x in u[u > s & u <= t]) { r <- time >= x; e <- time == x & event == 1; Y <- sum(ww[r]); D <- sum(ww[e]); S <- S * (1 - D / Y); if (Y > D) { v <- v + D / (Y * (Y - D)); L <- L - (e - r * D / Y) / (Y - D) } }; c(S, S * (if (is.null(w)) sqrt(v) else sqrt(sum((ww * L)^2)))) })
  k <- time > s; e <- data.frame(s = s, time = time[k], event = event[k], w = ww[k], id = seq_len(sum(k))); f <- if (is.null(w)) survfit(Surv(s, time, event) ~ 1, e) else survfit(Surv(s, time, event) ~ 1, e, weights = w, id = id, robust = TRUE); g <- summary(f, times = times, extend = TRUE); chk(g$surv, o[1, ], 1e-10, "start.time"); chk(g$std.err, o[2, ], 1e-8, "start.time se")
  S <- o[1, ]; se <- o[2, ]; th <- se / (S * log(S)); list(given = s, atRiskJustAfter = sum(time > s), times = arr(times), survival = arr(S), standardError = arr(se), plainLower = arr(pmax(0, S - Z * se)), plainUpper = arr(pmin(1, S + Z * se)), logLower = arr(S * exp(-Z * se / S)), logUpper = arr(pmin(1, S * exp(Z * se / S))), loglogLower = arr(S^exp(-Z * th)), loglogUpper = arr(S^exp(Z * th))) }
COND_METHOD <- "Conditional survival S(t | s) = S(t)/S(s) = prod over event times u with s < u <= t of (1 - d/Y), among those with time > s (a patient with time = s exactly, event or censored, is out; no re-dating: t counts from the operation). standardError = S(t|s) sqrt(sum_{s<u<=t} d/(Y(Y-d))). 95 % limits as for Kaplan-Meier: plain S +/- z se; log S exp(+/- z se/S), not above 1; loglog S^exp(+/- z se/(S log S)). Weighted: weighted events and at risk; standardError the infinitesimal jackknife sqrt(sum_i (w_i dS(t|s)/dw_i)^2), dS/dw_i = -S sum_{s<u<=t} (1{fails} - 1{at risk} D/Y)/(Y-D)."

## ---------- monitoring ----------
funnel <- function(n, target) { ps <- c(.025, .975, .001, .999); o <- data.frame(n = n); for (q in seq_along(ps)) { p <- ps[q]; r <- qbinom(p, n, target); a <- (pbinom(r, n, target) - p) / (pbinom(r, n, target) - ifelse(r > 0, pbinom(r - 1, n, target), 0)); o[[paste0("interpolated", c("Lower95", "Upper95", "Lower998", "Upper998")[q])]] <- pmin(1, pmax(0, (r - a) / n)); o[[paste0("count", c("Lower95", "Upper95", "Lower998", "Upper998")[q])]] <- r }
  o }
byar <- function(o, z = Z) list(lower = if (o == 0) 0 else o * (1 - 1 / (9 * o) - z / (3 * sqrt(o)))^3, upper = (o + 1) * (1 - 1 / (9 * (o + 1)) + z / (3 * sqrt(o + 1)))^3)
poisci <- function(x, cl = .95) { a <- (1 - cl) / 2; c(if (x == 0) 0 else qgamma(a, x), qgamma(a, x + 1, lower.tail = FALSE)) }

## ---------- pooling ----------
pool_out <- function(yi, vi, labels) { k <- length(yi)
  reml <- function() { f <- function(t2) { w <- 1 / (vi + t2); mu <- sum(w * yi) / sum(w); -.5 * sum(log(vi + t2)) - .5 * log(sum(w)) - .5 * sum(w * (yi - mu)^2) }
    g <- function(t2) { w <- 1 / (vi + t2); mu <- sum(w * yi) / sum(w); -.5 * sum(w) + .5 * sum(w^2) / sum(w) + .5 * sum(w^2 * (yi - mu)^2) }
    hi <- 10 * (var(yi) + max(vi)); gr <- c(0, exp(seq(log(hi * 1e-9), log(hi), length.out = 4000))); i <- which.max(sapply(gr, f)); if (i == 1 && g(0) <= 0) return(0)
    lo <- gr[max(1, i - 1)]; up <- gr[min(length(gr), i + 1)]; for (q in 1:200) { m <- (lo + up) / 2; if (g(m) > 0) lo <- m else up <- m }; (lo + up) / 2 }
  t2 <- reml(); w <- 1 / (vi + t2); mu <- sum(w * yi) / sum(w); seW <- sqrt(1 / sum(w)); q <- sum(w * (yi - mu)^2) / (k - 1); seHK <- seW * sqrt(q); seHKm <- seW * sqrt(max(1, q)); tc <- qt(.975, k - 1)
  w0 <- 1 / vi; muF <- sum(w0 * yi) / sum(w0); seF <- sqrt(1 / sum(w0)); Q <- sum(w0 * (yi - muF)^2); dl <- max(0, (Q - (k - 1)) / (sum(w0) - sum(w0^2) / sum(w0))); wd <- 1 / (vi + dl); muD <- sum(wd * yi) / sum(wd); seD <- sqrt(1 / sum(wd)); s2 <- (k - 1) * sum(w0) / (sum(w0)^2 - sum(w0^2))
  m1 <- rma(yi, vi, method = "REML", test = "knha", control = list(threshold = 1e-13 * max(1, var(yi)), maxiter = 10000, stepadj = 0.5)); m2 <- rma(yi, vi, method = "DL"); m3 <- rma(yi, vi, method = "EE"); m4 <- rma(yi, vi, method = "REML", control = list(threshold = 1e-13 * max(1, var(yi)), maxiter = 10000, stepadj = 0.5))
  chk(m1$tau2, t2, 1e-7, "REML tau2"); chk(m1$beta[1], mu, 1e-7); chk(m1$se, seHK, 1e-6, "HK se"); chk(c(m1$ci.lb, m1$ci.ub), mu + c(-1, 1) * tc * seHK, 1e-6); chk(m2$tau2, dl, 1e-10, "DL"); chk(c(m2$beta[1], m2$se), c(muD, seD), 1e-10); chk(c(m3$beta[1], m3$se, m3$QE, m3$QEp), c(muF, seF, Q, pchisq(Q, k - 1, lower.tail = FALSE)), 1e-10, "EE"); chk(m4$se, seW, 1e-7); chk(m1$I2, 100 * t2 / (t2 + s2), 1e-6, "I2"); chk(m2$I2, 100 * max(0, (Q - (k - 1)) / Q), 1e-8, "I2 DL")
  pr <- predict(m1); chk(c(pr$pi.lb, pr$pi.ub), mu + c(-1, 1) * tc * sqrt(t2 + seHK^2), 1e-6, "PI")
  cat("  metafor tau2 difference", format(m1$tau2 - t2, digits = 3), "\n")
  ci <- function(e, s, cr) list(estimate = e, standardError = s, lower = e - cr * s, upper = e + cr * s); t2c <- if (k > 2) qt(.975, k - 2) else NA
  list(centres = arr(labels), estimates = arr(yi), variances = arr(vi), k = k, Q = Q, degreesOfFreedom = k - 1, pValueQ = pchisq(Q, k - 1, lower.tail = FALSE), iSquaredFromQ = max(0, (Q - (k - 1)) / Q), typicalVariance = s2, common = ci(muF, seF, Z), derSimonianLaird = c(list(tau2 = dl), ci(muD, seD, Z)),
    reml = list(tau2 = t2, iSquaredFromTau2 = t2 / (t2 + s2), wald = ci(mu, seW, Z), hartungKnapp = c(list(q = q), ci(mu, seHK, tc), list(t = mu / seHK, pValue = 2 * pt(-abs(mu / seHK), k - 1))), hartungKnappNotBelowWald = ci(mu, seHKm, tc), predictionHartungKnapp = list(degreesOfFreedom = k - 1, lower = mu - tc * sqrt(t2 + seHK^2), upper = mu + tc * sqrt(t2 + seHK^2)), predictionHiggins = list(degreesOfFreedom = k - 2, lower = mu - t2c * sqrt(t2 + seW^2), upper = mu + t2c * sqrt(t2 + seW^2))), weightShareReml = arr(w / sum(w)), weightShareCommon = arr(w0 / sum(w0))) }
POOL_METHOD <- "Centre estimates y_i (log scale where a ratio) with known variances v_i, k centres. Q = sum (1/v_i)(y_i - mu_F)^2 with mu_F the common-effect mean (weights 1/v_i), on k-1 df. iSquaredFromQ = max(0, (Q-(k-1))/Q) (a fraction). derSimonianLaird: tau2 = max(0, (Q-(k-1))/(sum w - sum w^2/sum w)), w = 1/v; mean and SE with weights 1/(v+tau2); normal limits. reml: tau2 >= 0 maximises -1/2 sum log(v+tau2) - 1/2 log sum 1/(v+tau2) - 1/2 sum (y-mu)^2/(v+tau2) (0 when the derivative at 0 is not positive and no interior point is higher); mu with weights w* = 1/(v+tau2); wald SE 1/sqrt(sum w*). iSquaredFromTau2 = tau2/(tau2+s2), s2 = typicalVariance = (k-1) sum w/((sum w)^2 - sum w^2). hartungKnapp: q = sum w*(y-mu)^2/(k-1), SE = wald SE * sqrt(q), t with k-1 df (q is not kept from falling below 1; hartungKnappNotBelowWald uses max(1, q)). predictionHartungKnapp: mu +/- t_{k-1} sqrt(tau2 + SE_HK^2); predictionHiggins: mu +/- t_{k-2} sqrt(tau2 + SE_wald^2) (Higgins, Thompson & Spiegelhalter 2009). 95 %."

## ---------- bootstrap limits ----------
boot_limits <- function(t0, t, jack, conf) { R <- length(t); a2 <- (1 - conf) / 2; al <- c(a2, 1 - a2); z0 <- qnorm(sum(t < t0) / R); z0h <- qnorm((sum(t < t0) + sum(t == t0) / 2) / R); d <- mean(jack) - jack; a <- sum(d^3) / (6 * sum(d^2)^1.5)
  adj <- function(z0) pnorm(z0 + (z0 + qnorm(al)) / (1 - a * (z0 + qnorm(al)))); q7 <- function(p) unname(quantile(t, p, type = 7)); ad <- adj(z0); st <- sort(t)
  nrm <- function(p) sapply(p, function(x) { rk <- (R + 1) * x; k <- trunc(rk); if (k == 0) return(st[1]); if (k >= R) return(st[R]); if (abs(rk - k) < 1e-12) return(st[k]); l <- qnorm(k / (R + 1)); u <- qnorm((k + 1) / (R + 1)); st[k] + (qnorm(x) - l) / (u - l) * (st[k + 1] - st[k]) })
  p <- q7(al); b <- q7(ad); bi <- q7(adj(z0h)); f <- list(R = R, t0 = t0, t = matrix(t, ncol = 1), call = NULL, strata = rep(1, length(jack)), weights = rep(1 / length(jack), length(jack)), sim = "ordinary", stype = "i", data = jack); class(f) <- "boot"
  L <- (length(jack) - 1) * (mean(jack) - jack); bc <- boot.ci(f, conf = conf, type = c("basic", "perc", "bca"), L = L, t0 = t0, t = t); chk(bc$percent[4:5], nrm(al), 1e-9, "boot.ci percent"); chk(bc$basic[4:5], 2 * t0 - rev(nrm(al)), 1e-9, "basic"); chk(bc$bca[4:5], nrm(ad), 1e-9, "bca")
  list(confidence = conf, percentile = list(lower = p[1], upper = p[2]), basic = list(lower = 2 * t0 - p[2], upper = 2 * t0 - p[1]), bca = list(z0 = z0, acceleration = a, adjusted = arr(ad), lower = b[1], upper = b[2]), bcaTiesHalf = list(z0 = z0h, lower = bi[1], upper = bi[2]),
    orderStatisticsNormalInterpolation = list(percentile = arr(nrm(al)), basic = arr(2 * t0 - rev(nrm(al))), bca = arr(nrm(ad)))) }
BOOT_METHOD <- "Replicates t*_1..t*_B and jackknife values t_(i) (statistic with unit i left out) are given; nothing is drawn. percentile: quantiles a and 1-a of the replicates, a = (1-confidence)/2, position (B-1)p from the smallest, linear between order statistics (type 7). basic: 2 t - upper quantile, 2 t - lower quantile. bca (Efron 1987; DiCiccio & Efron 1996): z0 = Phi^-1(#{t* < t}/B) (strictly below), acceleration = sum (m - t_(i))^3/(6 (sum (m - t_(i))^2)^1.5), m the mean of the jackknife values; adjusted tails Phi(z0 + (z0+z_p)/(1 - acceleration (z0+z_p))) for p = a and 1-a; limits the type 7 quantiles at these. bcaTiesHalf: replicates equal to t count a half in z0. orderStatisticsNormalInterpolation: the same three with quantile p by order statistic (B+1)p, between neighbours k and k+1 linear on the normal scale: t_k + (z_p - z_{k/(B+1)})/(z_{(k+1)/(B+1)} - z_{k/(B+1)}) (t_{k+1} - t_k) (Davison & Hinkley 1997 eq 5.8, package boot)."

## ---------- rates ----------
rate_ratio <- function(x1, t1, x0, t0, cl = .95) { a <- (1 - cl) / 2; n <- x1 + x0; p0 <- t1 / (t1 + t0); lo <- if (x1 == 0) 0 else qbeta(a, x1, x0 + 1); up <- if (x0 == 0) 1 else qbeta(a, x1 + 1, x0, lower.tail = FALSE); r <- function(p) if (p >= 1) Inf else p / (1 - p) * t0 / t1
  if (n > 0) { b <- poisson.test(c(x1, x0), c(t1, t0), conf.level = cl); chk(b$conf.int[is.finite(b$conf.int)], c(r(lo), r(up))[is.finite(b$conf.int)], 1e-6, "poisson.test"); ml <- b$p.value } else ml <- 1
  tw <- if (n > 0) min(1, 2 * min(pbinom(x1, n, p0), pbinom(x1 - 1, n, p0, lower.tail = FALSE))) else 1
  data.frame(events1 = x1, exposure1 = t1, events0 = x0, exposure0 = t0, confidence = cl, rate1 = 100 * x1 / t1, rate0 = 100 * x0 / t0, ratio = if (x0 == 0) (if (x1 == 0) NA else Inf) else (x1 / t1) / (x0 / t0), lower = r(lo), upper = r(up), pTwiceSmallerTail = tw, pMinimumLikelihood = ml) }

## ---------- average run length of the risk-adjusted CUSUM ----------
true_risk <- function(p, rho) rho * p / (1 - p + rho * p)
score_of <- function(p, R) list(success = -log(1 - p + R * p), failure = log(R) - log(1 - p + R * p))
arl_one_risk <- function(p, R, h, rho) {             # exact: one risk, all paths of one excursion from 0 counted by (failures, successes)
  s <- score_of(p, R); q <- true_risk(p, rho); up <- max(s$failure, s$success); dn <- min(s$failure, s$success); pu <- if (s$failure > 0) q else 1 - q
  if (up >= h) stop("one step signals"); alive <- pu; i <- 1L; n <- 1L; len <- 1; sig <- 0; v <- c(alive); off <- 1L   # v[k]: mass with (off + k - 1) up steps out of n
  while (sum(v) > 1e-18) { len <- len + sum(v); nv <- c(v * (1 - pu), 0) + c(0, v * pu); n <- n + 1L; ups <- off + seq_along(nv) - 1L; val <- ups * up + (n - ups) * dn; over <- val >= h; sig <- sig + sum(nv[over]); keep <- val > 0 & !over; if (!any(keep)) break; k <- which(keep); nv[!keep] <- 0; v <- nv[min(k):max(k)]; off <- off + min(k) - 1L }
  len / sig }
arl_lattice <- function(m, share, N, R, rho, K) {    # scores whole multiples of delta = |log R|/N; state i stands for i*delta, signal at i > K
  sg <- sign(log(R)); p <- (R^(m / N) - 1) / (R - 1); if (R < 1) p <- (1 - 2^(-m / N)) * 2; stopifnot(max(abs(log(1 - p + R * p) - sg * m * abs(log(R)) / N)) < 1e-14)
  q <- true_risk(p, rho); P <- matrix(0, K + 1, K + 1); for (i in 0:K) for (c in seq_along(m)) { a <- max(0, i - sg * m[c]); b <- max(0, i + sg * (N - m[c])); if (a <= K) P[i + 1, a + 1] <- P[i + 1, a + 1] + share[c] * (1 - q[c]); if (b <= K) P[i + 1, b + 1] <- P[i + 1, b + 1] + share[c] * q[c] }
  list(risks = p, arl = solve(diag(K + 1) - P, rep(1, K + 1))[1]) }
arl_chain <- function(p, share, R, h, rho, M) {      # fine chain: grid of M steps, each score split between its two neighbours so that its mean is kept
  s <- score_of(p, R); q <- true_risk(p, rho); w <- c(s$success, s$failure) * M / h; pr <- c(share * (1 - q), share * q); k <- floor(w); f <- w - k; st <- c(k, k + 1); pp <- c(pr * (1 - f), pr * f); ok <- pp > 0; st <- st[ok]; pp <- pp[ok]
  ag <- tapply(pp, st, sum); st <- as.integer(names(ag)); pp <- as.numeric(ag)
  v <- numeric(M); sig <- 0; len <- 1; v0 <- numeric(M); for (i in seq_along(st)) if (st[i] > 0) { if (st[i] >= M) sig <- sig + pp[i] else v0[st[i] + 1] <- v0[st[i] + 1] + pp[i] }; v <- v0
  repeat { tot <- sum(v); if (tot < 1e-13) break; len <- len + tot; nv <- numeric(M)
    for (i in seq_along(st)) { a <- st[i]; if (a >= 0) { if (a >= M) sig <- sig + pp[i] * tot else { nv[(a + 1):M] <- nv[(a + 1):M] + pp[i] * v[1:(M - a)]; if (a > 0) sig <- sig + pp[i] * sum(v[(M - a + 1):M]) } } else { b <- -a; if (b < M) nv[1:(M - b)] <- nv[1:(M - b)] + pp[i] * v[(b + 1):M] } }
    nv[1] <- 0; v <- nv }
  len / sig }
arl_mix <- function(p, share, R, h, rho) {             # chain-3.c on grids of 64000 and 128000 steps, then linear extrapolation to step 0
  exe <- file.path(tempdir(), "chain"); if (!file.exists(exe)) stopifnot(system2("gcc", c("-O3", "-ffast-math", "-o", exe, "chain-3.c", "-lm")) == 0)
  g <- function(M) as.numeric(system2(exe, c(M, format(c(h, R, rho), digits = 15), length(p), rbind(format(p, digits = 15), format(share, digits = 15))), stdout = TRUE)); v <- sapply(c(32000, 64000, 128000), g); e <- 2 * v[-1] - v[-3]; chk(e[1], e[2], 2e-6 * max(1, e[2]), "extrapolated run length"); cat("  chain", R, h, rho, format(v, digits = 10), "->", format(e, digits = 10), "\n"); e[2] }
cusum_run <- function(y, p, R, h) { s <- score_of(p, R); w <- ifelse(y == 1, s$failure, s$success); C <- numeric(length(y)); c0 <- 0; for (i in seq_along(y)) { c0 <- max(0, c0 + w[i]); C[i] <- c0 }; D <- numeric(length(y)); sig <- c(); c0 <- 0; for (i in seq_along(y)) { c0 <- max(0, c0 + w[i]); D[i] <- c0; if (c0 >= h) { sig <- c(sig, i); c0 <- 0 } }
  list(oddsRatio = R, limit = h, score = arr(w), cusum = arr(C), cusumRestarted = arr(D), signals = arr(as.numeric(sig)), firstAtOrAbove = if (any(C >= h)) which(C >= h)[1] else NA) }
CUSUM_METHOD <- "Risk-adjusted CUSUM (Steiner et al. 2000): W_t = log(R^y/(1-p_t+R p_t)), C_0 = 0, C_t = max(0, C_{t-1}+W_t); a signal when C_t >= limit. series: cusum runs on without a restart; cusumRestarted sets C to 0 after a signal (the value at the signal is shown), signals are its 1-based positions; firstAtOrAbove is the first position with cusum >= limit (null: none). Average run length from C_0 = 0: expected number of operations up to and with the signal, for operations drawn independently with risk p_c with probability share_c and failing with probability q_c = rho p_c/(1-p_c+rho p_c), rho the trueOddsRatio (1 = in control: the predicted risks are right). Continuous-state recursion L(c) = 1 + sum over outcomes prob * L(max(0, c+W)) with L = 0 at or above the limit; Brook & Evans (1972): a Markov chain on a fine grid of [0, limit) gives it to any accuracy when each score is split between its two neighbouring grid points so that its mean is kept (rounding the small success score to the grid biases the drift by per cents)."

## ---------- weighted test of proportional hazards ----------
zph_robust <- function(time, event, X, w, g) {       # score test of theta = 0 in beta_k + theta_k g(t), Breslow ties, robust variance with beta estimated
  fit <- coxph(Surv(time, event) ~ X, weights = w, ties = "breslow", robust = TRUE, control = coxph.control(eps = 1e-13, iter.max = 100, toler.chol = 1e-14)); b <- coef(fit); p <- ncol(X); n <- nrow(X); r <- exp(drop(sweep(X, 2, colMeans(X)) %*% b)); u <- sort(unique(time[event == 1]))
  gt <- g(u); U <- matrix(0, n, 2 * p); I <- matrix(0, 2 * p, 2 * p); out <- numeric(2 * p)
  for (j in seq_along(u)) { at <- time >= u[j]; d <- time == u[j] & event == 1; S0 <- sum((w * r)[at]); m <- colSums((w * r * X)[at, , drop = FALSE]) / S0; C <- crossprod(X[at, , drop = FALSE] * sqrt((w * r)[at])) / S0 - m %o% m; D <- sum(w[d]); k <- c(1, gt[j])
    I <- I + D * kronecker(k %o% k, C); R <- (d - at * r * D / S0) * sweep(X, 2, m); U <- U + cbind(R, gt[j] * R) }
  sc <- colSums(w * U); b1 <- 1:p; t1 <- p + 1:p; A <- I[t1, b1, drop = FALSE] %*% solve(I[b1, b1]); psi <- w * (U[, t1, drop = FALSE] - U[, b1, drop = FALSE] %*% t(A)); V <- crossprod(psi); Vm <- I[t1, t1] - A %*% I[b1, t1]; s <- sc[t1]
  one <- function(V) list(statistic = arr(unname(s^2 / diag(V))), global = drop(t(s) %*% solve(V, s)))
  rb <- one(V); list(coefficients = arr(unname(b)), robustSe = arr(sqrt(diag(fit$var))), score = arr(unname(s)), robust = c(rb, list(pValue = arr(pchisq(unclass(rb$statistic), 1, lower.tail = FALSE)), globalP = pchisq(rb$global, p, lower.tail = FALSE))), modelBased = one(Vm)) }
ZPHW_METHOD <- "Weighted Cox model (weights known and not counts), Breslow ties, and the score test that beta_k is constant: the model beta_k + theta_k g(t), theta = 0, beta at its weighted estimate. With S0(u) = sum of w_j r_j over those at risk at u, xbar(u) their weighted mean of x, C(u) their weighted covariance, D(u) the weighted events at u: score of theta = sum_i w_i sum_u g(u) (1{i fails at u} - 1{i at risk at u} r_i D(u)/S0(u)) (x_i - xbar(u)). Information blocks: I = sum_u D(u) [1 g; g g^2] (x) C(u). Patient i's influence on the score of theta with beta re-estimated: psi_i = w_i (u_theta,i - I_theta,beta I_beta,beta^-1 u_beta,i), u_i the patient's own sums above without and with g. Robust variance V = sum_i psi_i psi_i' (summed within a cluster first when there are clusters). statistic_k = score_k^2/V_kk on 1 df, global = score' V^-1 score on p df. modelBased uses I_theta,theta - I_theta,beta I_beta,beta^-1 I_beta,theta instead of V (with weights 1 it is the usual score test; under weights its size is wrong). Adding a constant to g changes nothing."

## ---------- missing outcomes, permutation ----------
ex <- function(x) 1 / (1 + exp(-x)); im <- function(e, m, n, d, full) { po <- e / m; f <- (n - m) / n; pm <- ex(log(po / (1 - po)) + d); v <- ((1 - f) + f * pm * (1 - pm) / (po * (1 - po)))^2 * po * (1 - po) / m + if (full) (po - pm)^2 * f * (1 - f) / n else 0; c((1 - f) * po + f * pm, v) }
miss_case <- function(e1, m1, n1, e0, m0, n0) { L1 <- e1 / n1; U1 <- (e1 + n1 - m1) / n1; L0 <- e0 / n0; U0 <- (e0 + n0 - m0) / n0; cc <- e1 / m1 - e0 / m0; seL <- sqrt(L1 * (1 - L1) / n1 + U0 * (1 - U0) / n0); seU <- sqrt(U1 * (1 - U1) / n1 + L0 * (1 - L0) / n0); wd <- U1 - L0 - (L1 - U0)
  c0 <- uniroot(function(c) pnorm(c + wd / max(seL, seU)) - pnorm(-c) - .95, c(1, 3), tol = 1e-15)$root; at <- function(d1, d0, full = TRUE) { a <- im(e1, m1, n1, d1, full); b <- im(e0, m0, n0, d0, full); d <- a[1] - b[1]; s <- sqrt(a[2] + b[2]); c(d, s, d - Z * s, d + Z * s) }
  grid <- expand.grid(delta0 = c(-1, 0, 1), delta1 = c(-1, 0, 1))[, 2:1]; g <- as.data.frame(t(mapply(at, grid$delta1, grid$delta0))); names(g) <- c("difference", "standardError", "lower", "upper"); g2 <- mapply(function(a, b) at(a, b, FALSE)[2], grid$delta1, grid$delta0)
  s <- sign(cc); lim <- if (s < 0) 4 else 3; fr <- function(f) { v <- sapply(c(-12, 12), f); if (v[1] * v[2] > 0) NA else uniroot(f, c(-12, 12), tol = 1e-14)$root }
  list(group1 = list(events = e1, known = m1, patients = n1), group0 = list(events = e0, known = m0, patients = n0), completeCase = cc, risk1 = arr(c(L1, U1)), risk0 = arr(c(L0, U0)), bounds = arr(c(L1 - U0, U1 - L0)), width = wd, boundsStandardErrors = arr(c(seL, seU)), imbensManski = list(c = c0, lower = L1 - U0 - c0 * seL, upper = U1 - L0 + c0 * seU), deltaGrid = cbind(grid, g, standardErrorSharesFixed = g2),
    tippingGroup1 = list(differenceZero = fr(function(d) at(d, 0)[1]), limitZero = fr(function(d) at(d, 0)[if (s < 0) 4 else 3])), tippingGroup0 = list(differenceZero = fr(function(d) at(0, d)[1]), limitZero = fr(function(d) at(0, d)[if (s < 0) 4 else 3]))) }
MISS_METHOD <- "Binary outcome known in m of n patients per group, e events among the known. risk bounds: e/n (no missing one had it) to (e + n - m)/n (all had it); bounds of the difference group 1 minus group 0: lower1 - upper0, upper1 - lower0; width = sum of the two missing fractions. boundsStandardErrors: binomial, sqrt(p(1-p)/n) of the two risks in each bound, variances added. imbensManski: limits lower - c se_l, upper + c se_u with c from Phi(c + width/max(se_l, se_u)) - Phi(-c) = .95 (cover the true difference, not the whole interval). Delta: among those with a missing outcome the log odds are those of the known ones plus delta (log informative-missingness odds ratio): p_m = expit(logit(e/m) + delta), risk = (1-f) e/m + f p_m, f = (n-m)/n. standardError by the delta method: variance = ((1-f) + f p_m(1-p_m)/(p_o(1-p_o)))^2 p_o(1-p_o)/m + (p_o-p_m)^2 f(1-f)/n, p_o = e/m, groups added (White, Higgins & Wood 2008); standardErrorSharesFixed leaves the second term out. tippingGroup1: the delta in group 1 alone (0 in group 0) in -12..12 at which the difference is 0, and at which the 95 % limit on the side of 0 is 0 (the upper limit when the complete-case difference is negative, the lower when it is positive; null: no such delta); tippingGroup0 the same for group 0. completeCase = e1/m1 - e0/m0 (the deltas 0, 0)."
perm <- function(x, y) { z <- c(x, y); n <- length(x); cm <- combn(length(z), n); st <- abs(colSums(matrix(z[cm], n)) / n - (sum(z) - colSums(matrix(z[cm], n))) / length(y)); sg <- colSums(matrix(z[cm], n)) / n - (sum(z) - colSums(matrix(z[cm], n))) / length(y); o <- mean(x) - mean(y); e <- 1e-9 * max(1, abs(o)); k <- sum(st >= abs(o) - e); list(x = arr(x), y = arr(y), difference = o, assignments = ncol(cm), atLeastAsExtreme = k, pTwoSided = k / ncol(cm), pGreater = sum(sg >= o - e) / ncol(cm), pLess = sum(sg <= o + e) / ncol(cm)) }

pp <- function(d) { n <- length(d); S <- as.matrix(expand.grid(rep(list(c(-1, 1)), n))); s <- drop(S %*% d); o <- sum(d); e <- 1e-9 * max(1, abs(o)); list(differences = arr(d), meanDifference = o / n, assignments = 2^n, atLeastAsExtreme = sum(abs(s) >= abs(o) - e), pTwoSided = mean(abs(s) >= abs(o) - e)) }
