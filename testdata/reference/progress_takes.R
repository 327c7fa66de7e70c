# Makes progress_takes.json: what R gives for takes of several rates, and for the way of rate and scatter over days.
#
#   Rscript progress_takes.R > progress_takes.json
#
# Lines are lm() with the day as a factor, the middle of a change is from the coefficients of lm() on a parabola, Kendall's S
# within days is from cor(method = "kendall") of each day, and the error of a pooled share is that of survey practice
# (Cochran 1977, 6.9) by var().
num <- function(x) ifelse(is.finite(x), sprintf("%.15g", x), "null")
arr <- function(x) paste0("[", paste(num(as.numeric(x)), collapse = ","), "]")
set.seed(11)
day <- rep(0:2, c(3, 4, 2))
rate <- c(5, 7, 10, 5.2, 6.1, 8.8, 11, 6, 9)
angle <- round(10 + day - 1.5 * log(rate) + rnorm(9, 0, .8), 3)
x <- log(rate)
f <- lm(angle ~ factor(day) + x)
lines <- sprintf('{"day":%s,"rate":%s,"angle":%s,"slope":%s,"bounds":%s,"sigma":%s,"df":%d}', arr(day), arr(rate), arr(angle),
  num(coef(f)["x"]), arr(confint(f, "x")), num(summary(f)$sigma), f$df.residual)
n <- 60
at <- seq(0, 20, length.out = n)
up <- 1 - abs(2 * seq_len(n) / n - 1)
y <- round(3 * up + .1 * at + rnorm(n), 3)
g <- lm(y ~ up + at)
both <- sprintf('{"rate":%s,"time":%s,"y":%s,"by_rate":%s,"by_time":%s,"se_rate":%s}', arr(up), arr(at), arr(y), num(coef(g)["up"]),
  num(coef(g)["at"]), num(summary(g)$coefficients["up", 2]))
days <- c(0, 3, 7, 10, 14, 17, 21, 28, 31, 35)
r <- round(log(6) + .4 * (1 - exp(-days / 10)) + rnorm(10, 0, .03), 4)
e <- round(.8 * (days / 35)^2 + rnorm(10, 0, .06), 4)
u <- 2 * days / 35 - 1
middle <- function(v) { b <- coef(lm(v ~ u + I(u^2))); 17.5 * (1 + 2 * b[3] / (3 * b[2])) }
bend <- sprintf('{"days":%s,"x":%s,"y":%s,"middle_x":%s,"middle_y":%s}', arr(days), arr(r), arr(e), num(middle(r)), num(middle(e)))
stratum <- rep(1:4, c(3, 4, 3, 2))
a <- round(rnorm(12), 3)
b <- round(.5 * a + rnorm(12), 3)
s <- sapply(split(seq_along(a), stratum), function(i) cor(a[i], b[i], method = "kendall") * choose(length(i), 2))
pairs <- sapply(split(a, stratum), function(v) choose(length(v), 2))
within <- sprintf('{"day":%s,"rate":%s,"scatter":%s,"tau":%s}', arr(stratum), arr(a), arr(b), num(sum(s) / sum(pairs)))
w <- c(30, 42, 25, 60, 33)
p <- c(.4, .55, .3, .7, .62)
m <- weighted.mean(p, w)
pooled <- sprintf('{"seconds":%s,"share":%s,"mean":%s,"half":%s}', arr(w), arr(p), num(m),
  num(qt(.975, 4) * sqrt(5 * var(w * (p - m))) / sum(w)))
cat(sprintf('{"tool":"%s",\n"takes":%s,\n"both":%s,\n"bend":%s,\n"within":%s,\n"pooled":%s}\n', R.version.string, lines, both, bend, within, pooled))
