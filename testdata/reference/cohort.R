# Reference values for motion/cohort, written to cohort.json with base R.
#
#   Rscript cohort.R > cohort.json
#
# partial   correlation of the residuals of two regressions (lm), of the window
#           means and of their ranks
# slope     errors-in-variables regression: normal equations of the late mean on
#           the early and the baseline mean, with variances replaced by the
#           covariances of their two days (Fuller 1987, 2.2)
# alpha     Cronbach's alpha of two days, by its own formula
# icc       one-way analysis of variance (aov) with ICC(1,1) and its interval
#           (Shrout & Fleiss 1979), on their published ratings
set.seed(20260112)
n <- 40
b <- rnorm(n); v <- -0.5 * b + rnorm(n); l <- 0.7 * b + 0.3 * v + 0.6 * rnorm(n)
day <- function(x, k) signif(x + 0.5 * rnorm(n) + 0.1 * k, 6)
e1 <- day(v, 0); e2 <- day(v, 1); b1 <- day(b, 0); b2 <- day(b, 1); l1 <- day(l, 0); l2 <- day(l, 1)
E <- (e1 + e2) / 2; B <- (b1 + b2) / 2; L <- (l1 + l2) / 2
res <- function(y, x) resid(lm(y ~ x))
partial <- cor(res(E, B), res(L, B))
ranks <- cor(res(rank(E), rank(B)), res(rank(L), rank(B)))
slope <- solve(matrix(c(cov(e1, e2), cov(E, B), cov(E, B), cov(b1, b2)), 2), c(cov(E, L), cov(B, L)))[1]
alpha <- function(x, y) 2 * (1 - (var(x) + var(y)) / var(x + y))
sf <- matrix(c(9,2,5,8, 6,1,3,2, 8,4,6,8, 7,1,2,6, 10,5,6,9, 6,2,4,7), 6, byrow = TRUE)
tab <- summary(aov(as.vector(t(sf)) ~ factor(rep(1:6, each = 4))))[[1]]
msb <- tab[1, 3]; msw <- tab[2, 3]; k <- 4
f <- msb / msw; fl <- f / qf(0.975, 5, 18); fu <- f / qf(0.025, 5, 18)
num <- function(x) paste(format(x, digits = 15, trim = TRUE), collapse = ", ")
arr <- function(x) paste0("[", num(x), "]")
cat(sprintf('{
  "tool": "%s",
  "script": "cohort.R",
  "early": [%s, %s],
  "baseline": [%s, %s],
  "late": [%s, %s],
  "partial": %s, "ranks": %s, "slope": %s,
  "alpha_early": %s, "alpha_baseline": %s,
  "icc": %s, "icc_low": %s, "icc_high": %s, "sd_within": %s, "sd_between": %s
}
', R.version.string, arr(e1), arr(e2), arr(b1), arr(b2), arr(l1), arr(l2), num(partial), num(ranks), num(slope),
  num(alpha(e1, e2)), num(alpha(b1, b2)), num((msb - msw) / (msb + (k - 1) * msw)), num((fl - 1) / (fl + k - 1)), num((fu - 1) / (fu + k - 1)),
  num(sqrt(msw)), num(sqrt((msb - msw) / k))))
