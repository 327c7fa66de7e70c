# Makes progress.json: what R gives for package progress.
# Run with the version named in the result:  Rscript progress.R > progress.json
#
# repeats: the analysis of variance of takes within days (aov), the interval of
#   the standard deviation within days (qchisq), and the standard deviations
#   within and between days by restricted maximum likelihood (nlme), which for a
#   balanced plan are those of the analysis of variance.
# nested: the same with days within two set-ups.
# kappa: Cohen's kappa of a table, with the large-sample variance of Fleiss,
#   Cohen and Everitt (1969), Psychol. Bull. 72, 323-327, spelled out.
suppressMessages(library(nlme))
num <- function(x) paste0("[", paste(format(x, digits = 15, trim = TRUE), collapse = ","), "]")
one <- function(x) format(x, digits = 15, trim = TRUE)

x <- c(10.2, 10.9, 9.7,  11.4, 12.1, 11.8,  9.1, 9.9, 9.3,  10.6, 10.1, 11.2)
day <- factor(rep(1:4, each = 3))
tab <- anova(aov(x ~ day))
ms <- tab[["Mean Sq"]]
df <- tab[["Df"]]
fit <- lme(x ~ 1, random = ~ 1 | day)
v <- as.numeric(VarCorr(fit)[, "StdDev"])
ci <- sqrt(ms[2] * df[2] / qchisq(c(0.975, 0.025), df[2]))
same <- qt(0.975, df[2]) * sqrt(ms[2] * 2)
# Two takes of two days: 2/3 of the mean square of days, 4/3 of that within.
a <- ms[1] * 2 / 3; b <- ms[2] * (2 - 2 / 3)
dfs <- (a + b)^2 / (a^2 / df[1] + b^2 / df[2])
other <- qt(0.975, dfs) * sqrt(a + b)

setup <- factor(rep(1:2, each = 6))
tab2 <- anova(aov(x ~ setup + setup:day))

kappa <- function(m) {
  p <- m / sum(m); r <- rowSums(p); c <- colSums(p)
  po <- sum(diag(p)); pe <- sum(r * c); k <- (po - pe) / (1 - pe)
  s1 <- sum(diag(p) * (1 - (r + c) * (1 - k))^2)
  off <- 0
  for (i in seq_along(r)) for (j in seq_along(c)) if (i != j) off <- off + p[i, j] * (c[i] + r[j])^2
  v <- (s1 + (1 - k)^2 * off - (k - pe * (1 - k))^2) / (1 - pe)^2
  paste0('{"table":[', paste(apply(m, 1, num), collapse = ","), '],"agreed":', one(po), ',"chance":', one(pe), ',"kappa":', one(k), ',"variance":', one(v), "}")
}
tables <- list(matrix(c(75, 1, 4, 5, 4, 1, 0, 0, 10), 3, byrow = TRUE),
               matrix(c(20, 5, 10, 15), 2, byrow = TRUE),
               matrix(c(4.5, 0.2, 1.1, 0.4, 2.25, 0.3, 0, 0.9, 7.1), 3, byrow = TRUE))
cat('{\n"tool":"', R.version.string, ', nlme ', as.character(packageVersion("nlme")), '",\n', sep = "")
cat('"repeats":{"x":', num(x), ',"per_day":3,"mean_squares":', num(ms), ',"df":', num(df), ',"interval":', num(ci),
    ',"reml_between":', one(v[1]), ',"reml_within":', one(v[2]), ',"smallest_same_day":', one(same), ',"smallest_two_days":', one(other), ',"df_two_days":', one(dfs), '},\n', sep = "")
cat('"nested":{"mean_square_days":', one(tab2[["Mean Sq"]][2]), ',"df_days":', one(tab2[["Df"]][2]), '},\n', sep = "")
cat('"kappa":[', paste(sapply(tables, kappa), collapse = ",\n"), ']\n}\n', sep = "")
