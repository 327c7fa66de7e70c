# Makes learning_r.json: curves fitted by least squares with profile intervals
# (MASS), a line under autocorrelated errors (nlme), a robust line (MASS).
#
# Run with the versions named in the result:  Rscript learning_r.R > learning_r.json
# The data are MASS::wtloss, datasets::BOD (Bates & Watts 1988, A1.4), and
# 2 + 8 exp(-0.35 (x-1)) with noise.
suppressMessages({library(MASS); library(nlme)})
num <- function(v) paste0("[", paste(sprintf("%.12g", v), collapse = ", "), "]")
item <- function(name, x, y, model) {
  ci <- suppressMessages(confint(model))
  sprintf('{"name": "%s", "x": %s, "y": %s,\n  "coef": %s, "se": %s, "rss": %.12g,\n  "low": %s, "high": %s}',
          name, num(x), num(y), num(coef(model)), num(summary(model)$coefficients[, 2]), deviance(model),
          num(ci[, 1]), num(ci[, 2]))
}
tight <- nls.control(tol = 1e-7, maxiter = 200)
x <- 1:12
y <- c(10.21, 7.488, 6.053, 4.58, 4.103, 3.44, 2.89, 2.86, 2.366, 2.373, 2.182, 2.27)
noisy <- nls(y ~ a + b * exp(-k * (x - 1)), start = list(a = 2, b = 8, k = .35), control = tight)
power <- nls(y ~ a + b * x^-k, start = list(a = -4, b = 14, k = .35), control = tight)
days <- wtloss$Days; kg <- wtloss$Weight
loss <- nls(kg ~ a + b * exp(-k * days), start = list(a = 80, b = 100, k = log(2) / 140), control = tight)
bod <- nls(demand ~ b * (1 - exp(-k * Time)), data = BOD, start = list(b = 19, k = .53), control = tight)
curves <- c(item("noisy exponential", x, y, noisy), item("noisy power", x, y, power),
            item("wtloss", days, kg, loss), item("BOD", BOD$Time, BOD$demand, bod))

lines <- sapply(c(0, .3, .6, .9), function(rho) {
  d <- data.frame(x = x, y = y)
  m <- gls(y ~ x, d, correlation = if (rho > 0) corAR1(rho, ~ 1, fixed = TRUE), method = "REML")
  sprintf('{"rho": %g, "coef": %s, "se": %s, "sigma": %.12g, "loglik": %.12g}',
          rho, num(coef(m)), num(sqrt(diag(vcov(m)))), m$sigma, as.numeric(logLik(m)))
})

ry <- c(2.1, 2.9, 4.2, 4.8, 6.1, 16.9, 8.2, 8.8, 10.1, 10.9, 12.3, 12.8, 14.1, 15.2, 9.9, 16.9)
rx <- seq_along(ry)
n <- length(ry)
# The package widens the scale by sqrt(n/(n-p)), which is a wider cut here.
m <- rlm(ry ~ rx, k = 1.345 * sqrt(n / (n - 2)), maxit = 500, acc = 1e-10)
huber <- sprintf('{"x": %s, "y": %s, "coef": %s}', num(rx), num(ry), num(coef(m)))

cat(sprintf('{"tool": "%s, MASS %s, nlme %s",\n "curves": [\n %s],\n "lines": [\n %s],\n "huber": %s}\n',
            R.version.string, packageVersion("MASS"), packageVersion("nlme"),
            paste(curves, collapse = ",\n "), paste(lines, collapse = ",\n "), huber))
