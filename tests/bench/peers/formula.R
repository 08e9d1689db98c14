# SPDX-License-Identifier: MIT
# What a user would write in R for two of the budgets that tests/bench/compare times.
# usage: Rscript formula.R MODEL TRIALS SEED, MODEL end_gauge or additive; a line of JSON.
said <- commandArgs(TRUE)
n <- as.numeric(said[2])
set.seed(as.integer(said[3]))
curvilinear <- function(half_width, doubt) {
  low <- -half_width + doubt * runif(n, -1, 1)
  low + runif(n) * (-2 * low)
}
models <- list(
  end_gauge = function() {
    standard <- 50000623 + 25 * rt(n, 18)
    difference <- 215 + 6 * rt(n, 24) + 4 * rt(n, 5) + 7 * rt(n, 8)
    expansion <- runif(n, 9.5e-6, 13.5e-6)
    warm <- rnorm(n, -0.1, 0.2) + 0.5 * sin(2 * pi * runif(n))
    expansion_step <- curvilinear(1e-6, 0.1e-6)
    temperature_step <- curvilinear(0.05, 0.025)
    (standard * (1 + expansion * (warm - temperature_step)) + difference) /
      (1 + (expansion + expansion_step) * warm) - 5e7
  },
  additive = function() {
    y <- numeric(n)
    for (i in 1:6) y <- y + rnorm(n)
    for (i in 1:6) y <- y + runif(n, -sqrt(3), sqrt(3))
    y
  })
begun <- proc.time()
y <- sort(models[[said[1]]]())
steps <- floor(0.95 * n + 0.5)
low <- (n - steps + 1) %/% 2
narrowest <- which.min(y[(steps + 1):n] - y[1:(n - steps)])
mean_y <- mean(y)
sd_y <- sd(y)
cpu <- sum((proc.time() - begun)[1:2])
cat(sprintf('{"value": %.12g, "standard": %.12g, "interval": [%.12g, %.12g], "shortest": [%.12g, %.12g], "cpu": %.6f}\n',
            mean_y, sd_y, y[low], y[low + steps], y[narrowest], y[narrowest + steps], cpu))
