# Makes joint.json: covariances, principal directions and outlying rows by R and its package MASS.
# Run with the versions named in the result:  Rscript joint.R > joint.json
library(MASS)
num <- function(x) paste0("[", paste(formatC(as.numeric(x), digits = 15, format = "g"), collapse = ","), "]")
rows <- function(m) paste0("[", paste(apply(m, 1, num), collapse = ","), "]")
x <- as.matrix(iris[, 1:4])
within <- residuals(lm(x ~ iris$Species))
S <- crossprod(within) / (nrow(x) - 3)
e <- eigen(S)
l <- e$values
scaled <- S / outer(c(1, 2, 4, 0.5), c(1, 2, 4, 0.5))
# Fisher's irises again, with single values missing: covariances of the pairs that are there.
holes <- x[1:50, ]
holes[cbind(c(3, 7, 20, 41), c(1, 2, 4, 3))] <- NA
complete <- cov(holes, use = "complete.obs")
# Noise of correlation 0.5 taken off: variances 0.1, 0.05, 0.06, 0.04.
sd <- sqrt(c(0.1, 0.05, 0.06, 0.04))
noise <- outer(sd, sd) * (0.5 + diag(0.5, 4))
left <- eigen(S - noise)
clipped <- left$vectors %*% diag(pmax(left$values, 0)) %*% t(left$vectors)
mcd <- cov.rob(as.matrix(stackloss), method = "mcd", nsamp = "exact")
far <- which(mahalanobis(as.matrix(stackloss), mcd$center, mcd$cov) > qchisq(0.975, 4))
# The ellipse of 8 points, textbook formulas.
p <- cbind(c(10.2, 11, 9.1, 10.6, 8.8, 9.7, 10.9, 9.5), c(9.9, 9.2, 10.8, 9.5, 11.3, 10.4, 8.9, 10.3))
pe <- eigen(cov(p))
half <- sqrt(pe$values * qchisq(0.95, 2))
cat('{"tool":"', R.version.string, ", MASS ", as.character(packageVersion("MASS")), '","script":"joint.R",\n', sep = "")
cat('"iris":', rows(t(x)), ',"kinds":', num(as.integer(iris$Species)), ',\n"within":', rows(S), ',"values":', num(l), ',"vectors":', rows(t(e$vectors)), ",\n", sep = "")
cat('"total":', sqrt(sum(l) / 4) |> num(), ',"generalised":', num(prod(l)^(1 / 8)), ',"participation":', num(sum(l)^2 / sum(l^2)), ",\n", sep = "")
cat('"scaled_total":', num(sqrt(sum(diag(scaled)) / 4)), ',"scaled_generalised":', num(det(scaled)^(1 / 8)), ",\n", sep = "")
cat('"holes":', gsub("NA", "null", rows(t(holes))), ',"complete":', rows(complete), ',"left_values":', num(left$values), ',"clipped":', rows(clipped), ",\n", sep = "")
cat('"stackloss":', rows(t(as.matrix(stackloss))), ',"far":', num(far), ",\n", sep = "")
cat('"ellipse":{"x":', num(p[, 1]), ',"y":', num(p[, 2]), ',"half":', num(half), ',"area":', num(pi * prod(half)), ',"angle":', num(atan2(pe$vectors[2, 1], pe$vectors[1, 1]) * 180 / pi), "}}\n", sep = "")
