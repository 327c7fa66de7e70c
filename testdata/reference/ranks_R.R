# Makes ranks_R.json: what R 4.2.2 gives for rank and partial correlations, adjusted probabilities and repeats.
#
#   Rscript ranks_R.R > ranks_R.json
#
# cor.test is exact up to 9 pairs without equal values, an Edgeworth series from 10 on (AS 89). Partial correlations are those
# of the residuals of lm; the analysis of variance of repeats is that of aov.
num <- function(x) ifelse(is.finite(x), sprintf("%.17g", x), "null")
arr <- function(x) paste0("[", paste(num(as.numeric(x)), collapse = ","), "]")
set.seed(11)
sets <- list(
  list(c(44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1), c(2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8)),
  list(c(106, 86, 100, 101, 99, 103, 97, 113, 112, 110), c(7, 0, 27, 50, 28, 29, 20, 12, 6, 17)),
  list(round(rnorm(7), 3), round(rnorm(7), 3)), list(round(rnorm(25), 3), round(rnorm(25), 3)),
  list(sample(1:6, 30, TRUE), sample(1:4, 30, TRUE)))
sp <- sapply(sets, function(s) {
  t <- suppressWarnings(cor.test(s[[1]], s[[2]], method = "spearman", exact = TRUE))
  a <- suppressWarnings(cor.test(s[[1]], s[[2]], method = "spearman", exact = FALSE))
  sprintf('{"x":%s,"y":%s,"rho":%s,"p":%s,"t_p":%s}', arr(s[[1]]), arr(s[[2]]), num(t$estimate), num(t$p.value), num(a$p.value))
})
part <- sapply(c(1, 2, 0), function(k) {
  n <- 24
  z <- lapply(seq_len(k), function(i) round(rnorm(n), 2))
  x <- round(rnorm(n) + if (k) z[[1]] else 0, 2)
  y <- round(.5 * x + rnorm(n) - if (k) z[[k]] else 0, 2)
  one <- function(x, y, z) {
    m <- if (k) do.call(cbind, z) else NULL
    if (k) { x <- resid(lm(x ~ m)); y <- resid(lm(y ~ m)) }
    r <- cor(x, y)
    v <- n - 2 - k
    c(r, 2 * pt(-abs(r) * sqrt(v / (1 - r^2)), v))
  }
  p <- one(x, y, z)
  s <- one(rank(x), rank(y), lapply(z, rank))
  ci <- if (k) tanh(atanh(p[1]) + c(-1, 1) * qnorm(.975) / sqrt(n - k - 3)) else cor.test(x, y)$conf.int
  sprintf('{"x":%s,"y":%s,"z":[%s],"r":%s,"p":%s,"low":%s,"high":%s,"rank_r":%s,"rank_p":%s}', arr(x), arr(y),
    paste(sapply(z, arr), collapse = ","), num(p[1]), num(p[2]), num(ci[1]), num(ci[2]), num(s[1]), num(s[2]))
})
ps <- list(round(runif(20)^3, 4), sample(c(.001, .01, .02, .02, .04, .5), 15, TRUE))
adj <- sapply(ps, function(p) sprintf('{"p":%s,"holm":%s,"bh":%s}', arr(p), arr(p.adjust(p, "holm")), arr(p.adjust(p, "BH"))))
units <- list(
  "PEFR, Bland & Altman 1996" = lapply(strsplit(c("190 220 200 200", "220 200 240 230", "260 260 240 280", "210 300 280 265",
    "270 265 280 270", "280 280 270 275", "260 280 280 300", "275 275 275 305", "280 290 300 290", "320 290 300 290",
    "300 300 310 300", "270 250 330 370", "320 330 330 330", "335 320 335 375", "350 320 340 365", "360 320 350 345",
    "330 340 380 390", "335 385 360 370", "400 420 425 420", "430 460 480 470"), " "), as.numeric),
  "unequal" = lapply(c(2, 5, 1, 3, 4), function(n) round(rnorm(n, rnorm(1, 0, 2)), 3)))
rep <- sapply(names(units), function(name) {
  u <- units[[name]]
  g <- factor(rep(seq_along(u), sapply(u, length)))
  a <- summary(aov(unlist(u) ~ g))[[1]]
  n <- length(g); k <- length(u); ni <- table(g)
  msb <- a[["Mean Sq"]][1]; msw <- a[["Mean Sq"]][2]
  n0 <- (n - sum(ni^2) / n) / (k - 1)
  icc <- function(f) (f - 1) / (f + n0 - 1)
  sw <- sqrt(msw)
  sprintf('{"name":"%s","units":[%s],"df":%d,"sw":%s,"low":%s,"high":%s,"icc":%s,"icc_low":%s,"icc_high":%s,"change":%s}', name,
    paste(sapply(u, arr), collapse = ","), n - k, num(sw), num(sw * sqrt((n - k) / qchisq(.975, n - k))),
    num(sw * sqrt((n - k) / qchisq(.025, n - k))), num(icc(msb / msw)), num(icc(msb / msw / qf(.975, k - 1, n - k))),
    num(icc(msb / msw * qf(.975, n - k, k - 1))), num(qt(.975, n - k) * sqrt(2) * sw))
})
cat(sprintf('{"tool":"%s",\n"spearman":[\n%s],\n"partial":[\n%s],\n"adjusted":[\n%s],\n"repeats":[\n%s]}\n', R.version.string,
  paste(sp, collapse = ",\n"), paste(part, collapse = ",\n"), paste(adj, collapse = ",\n"), paste(rep, collapse = ",\n")))
