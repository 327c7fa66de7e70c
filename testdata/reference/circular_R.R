# Makes circular_R.json: what R 4.2.2 and its package circular 0.4-95 give for the tests of circular data.
#
#   Rscript circular_R.R > circular_R.json
#
# Data: Mardia & Jupp (2000) example 1.1 (roulette); Zar (2010) 26.4 (trees), 27.2, 27.7 and 27.8; Fisher (1993) set B11
# (sea stars); wind directions at 6 and 12 o'clock, Fisher (1993) 6.8 and Jammalamadaka & SenGupta (2001) 8.1; the rest drawn
# here. Traps of the package that are left out: its median of an even number of angles, its F of Watson and Williams.
suppressPackageStartupMessages(library(circular))
deg <- function(x) circular(x * pi / 180)
num <- function(x) ifelse(is.finite(x), sprintf("%.17g", x), "null")
arr <- function(x) paste0("[", paste(num(as.numeric(x)), collapse = ","), "]")
set.seed(7)
sets <- list(
  list("roulette", c(43, 45, 52, 61, 75, 88, 88, 279, 357), 60),
  list("trees", c(45, 55, 81, 96, 110, 117, 132, 154), 90),
  list("zar 27.2", c(66, 75, 86, 88, 88, 93, 97, 101, 118, 130), 90),
  list("sea stars", c(0, 1, 3, 3, 8, 13, 16, 18, 30, 31, 43, 45, 147, 298, 329, 332, 335, 340, 350, 354, 356, 357), 0),
  list("drawn 15", round(as.numeric(rvonmises(15, circular(2), 1)) * 180 / pi, 3), 100),
  list("drawn 41", round(as.numeric(rvonmises(41, circular(4), .6)) * 180 / pi, 3), 200),
  list("drawn even 60", round(runif(60, 0, 360), 3), 30))
p <- c(.05, .25, .5, .9)
one <- sapply(sets, function(s) {
  x <- deg(s[[2]])
  v <- rayleigh.test(x, mu = deg(s[[3]]))
  q <- if (length(x) %% 2) as.numeric(quantile.circular(x, p)) * 180 / pi else rep(NA, 4)
  sprintf('{"name":"%s","deg":%s,"mu_deg":%s,"v_mean":%s,"v_p":%s,"watson":%s,"range_deg":%s,"kappa_bias":%s,"quantile_deg":%s}',
    s[[1]], arr(s[[2]]), num(s[[3]]), num(v$statistic), num(v$p.value), num(watson.test(x)$statistic),
    num(as.numeric(range.circular(x)) * 180 / pi), num(mle.vonmises(x, bias = TRUE)$kappa), arr(q))
})
groups <- list(
  list("zar 27.7", list(c(94, 65, 45, 52, 38, 47, 73, 82, 90, 40, 87), c(77, 70, 61, 45, 50, 35, 48, 65, 36))),
  list("zar 27.8", list(c(135, 145, 125, 140, 165, 170), c(150, 130, 175, 190, 180, 220), c(140, 165, 185, 180, 125, 175, 140))),
  list("drawn", lapply(c(2, 8, 20), function(k) round(as.numeric(rvonmises(12, circular(1), k)) * 180 / pi, 3))))
many <- sapply(groups, function(s) {
  d <- unlist(lapply(s[[2]], function(x) abs(sin(as.numeric(deg(x) - mean(deg(x)))))))
  g <- factor(rep(seq_along(s[[2]]), sapply(s[[2]], length)))
  a <- anova(lm(d ~ g))
  w <- watson.williams.test(deg(unlist(s[[2]])), g)
  sprintf('{"name":"%s","deg":[%s],"concentration_f":%s,"concentration_p":%s,"watson_williams_f":%s}', s[[1]],
    paste(sapply(s[[2]], arr), collapse = ","), num(a[["F value"]][1]), num(a[["Pr(>F)"]][1]), num(w$statistic))
})
a <- c(356, 97, 211, 232, 343, 292, 157, 302, 335, 302, 324, 85, 324, 340, 157, 238, 254, 146, 232, 122, 329)
b <- c(119, 162, 221, 259, 270, 29, 97, 292, 40, 313, 94, 45, 47, 108, 221, 270, 119, 248, 270, 45, 23)
drawn <- round(as.numeric(rvonmises(30, circular(1), 2)) * 180 / pi, 3)
pairs <- list(list("wind", a, b), list("drawn", drawn, round((drawn * -1 + rnorm(30, 0, 40)) %% 360, 3)))
two <- sapply(pairs, function(s) {
  x <- as.numeric(deg(s[[2]])); y <- as.numeric(deg(s[[3]]))
  up <- upper.tri(diag(length(x)))
  sx <- sin(outer(x, x, "-"))[up]; sy <- sin(outer(y, y, "-"))[up]
  r <- cor.circular(deg(s[[2]]), deg(s[[3]]), test = TRUE)
  sprintf('{"name":"%s","a":%s,"b":%s,"rho_t":%s,"sine":%s,"sine_p":%s,"linear":%s}', s[[1]], arr(s[[2]]), arr(s[[3]]),
    num(sum(sx * sy) / sqrt(sum(sx^2) * sum(sy^2))), num(r$cor), num(r$p.value), num(summary(lm(s[[3]] ~ cos(x) + sin(x)))$r.squared))
})
cat(sprintf('{"tool":"%s, circular %s",\n"p":%s,\n"sets":[\n%s],\n"groups":[\n%s],\n"pairs":[\n%s]}\n', R.version.string,
  packageVersion("circular"), arr(p), paste(one, collapse = ",\n"), paste(many, collapse = ",\n"), paste(two, collapse = ",\n")))
