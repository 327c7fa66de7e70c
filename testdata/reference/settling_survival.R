# Makes settling_survival.json: median lifetimes of censored data by Kaplan & Meier with log-log intervals.
#
# Run with R and its recommended package survival:  Rscript settling_survival.R > settling_survival.json
#
# "remission" is weeks of remission under 6-mercaptopurine, 9 of 21 complete (Freireich et al. 1963, Blood 21:699-716, as in
# Cox & Oakes 1984, Analysis of Survival Data, table 1.1; the values are from memory: their median of 23 weeks is printed
# widely), "placebo" the other arm, all complete. "half" has S = 1/2 over a step. "late" is cut off before half have ended. "ten"
# and "ties" are made up.
library(survival)
sets <- list(
  remission = list(c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35),
                   c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0)),
  placebo = list(c(1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23), rep(1, 21)),
  half = list(c(1, 2, 3, 4, 5, 6, 7, 8), rep(1, 8)),
  late = list(c(1, 2, 3, 3, 3, 3), c(1, 1, 0, 0, 0, 0)),
  ten = list(c(1.1, 1.4, 1.9, 2.2, 2.3, 3.1, 3.8, 4.4, 5.2, 6.9), c(1, 1, 0, 1, 1, 1, 0, 1, 1, 0)),
  ties = list(c(2, 2, 2, 3, 3, 4, 5, 5, 6, 7, 7, 9), c(1, 0, 1, 1, 1, 0, 1, 0, 1, 1, 1, 0)))
num <- function(v) ifelse(is.na(v), "null", format(v, digits = 15))
out <- sapply(names(sets), function(name) {
  s <- sets[[name]]
  f <- survfit(Surv(s[[1]], s[[2]]) ~ 1, conf.type = "log-log")
  q <- quantile(f, 0.5)
  keep <- f$n.event > 0
  sprintf('{"name": "%s", "length": [%s], "ended": [%s], "at": [%s], "share": [%s], "median": %s, "low": %s, "high": %s}', name,
          paste(s[[1]], collapse = ", "), paste(s[[2]], collapse = ", "), paste(f$time[keep], collapse = ", "),
          paste(sapply(f$surv[keep], num), collapse = ", "), num(q$quantile), num(q$lower), num(q$upper))
})
cat(sprintf('{"tool": "R %s, survival %s", "script": "settling_survival.R",\n "sets": [\n  %s\n ]}\n',
            getRversion(), packageVersion("survival"), paste(out, collapse = ",\n  ")))
