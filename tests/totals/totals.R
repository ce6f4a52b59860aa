# Makes totals.json beside this file: Rscript tests/totals/totals.R
# Two made-up books (tenth-acre plots in two strata with an empty plot; points at a factor of 20) and their totals by R:
# means, t.test limits, aggregate, lm through the origin with weights 1/x (its slope is the ratio of sums).
options(digits = 17)
set.seed(20240611)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
num <- function(x) paste0("[", paste(formatC(x, digits = 17, format = "g", width = 1), collapse = ", "), "]")
k <- pi / 576

# Book 1: strata A (30 acres, 7 plots, one of them empty) and B (12 acres, 5 plots).
plots <- data.frame(plot = 1:12, stratum = c(rep("A", 7), rep("B", 5)))
trees <- do.call(rbind, lapply(setdiff(1:12, 4), function(p) {
  n <- 3 + rpois(1, 5)
  d <- round(runif(n, 5, 24), 1)
  data.frame(plot = p, d = d, h = round(20 + 2.8 * d + rnorm(n, 0, 5), 1), sp = sample(c(316, 833, 129), n, TRUE))
}))
value <- function(x) { s <- tapply(x, factor(trees$plot, levels = 1:12), sum); s[is.na(s)] <- 0; as.numeric(s) * 10 }
ba <- value(k * trees$d^2)
tpa <- value(rep(1, nrow(trees)))
hs <- value(trees$h)
oak <- value(ifelse(trees$sp == 833, k * trees$d^2, 0))
simple <- function(y) { t <- t.test(y); c(mean(y), sd(y) / sqrt(length(y)), t$conf.int[1], t$conf.int[2]) }
stratified <- function(y) {
  a <- y[plots$stratum == "A"]; b <- y[plots$stratum == "B"]
  w <- c(30, 12) / 42; n <- c(7, 5); N <- c(300, 120); s2 <- c(var(a), var(b))
  g <- w^2 * s2 / n * (1 - n / N)
  se <- sqrt(sum(g)); df <- sum(g)^2 / sum(g^2 / (n - 1)); m <- sum(w * c(mean(a), mean(b)))
  c(m, se, df, m - qt(0.975, df) * se, m + qt(0.975, df) * se)
}
slope <- function(y, x) unname(coef(lm(y ~ x - 1, weights = 1 / x, subset = x > 0)))
# Book 2: 9 points at factor 20.
points <- do.call(rbind, lapply(1:9, function(p) {
  n <- rpois(1, 5) + 1
  d <- round(runif(n, 6, 26), 1)
  data.frame(plot = p, d = d, h = round(25 + 2.5 * d + rnorm(n, 0, 4), 1))
}))
w <- 20 / (k * points$d^2)
by <- function(x) as.numeric(tapply(x, points$plot, sum))
cat("{\n  \"source\": \"", R.version.string, "; made by totals.R\",\n",
    "  \"trees: plot, diameter, height, species\": [\n",
    paste0("    ", apply(trees, 1, num), collapse = ",\n"), "\n  ],\n",
    "  \"points: plot, diameter, height\": [\n", paste0("    ", apply(points, 1, num), collapse = ",\n"), "\n  ],\n",
    "  \"simple basal area: mean, se, low, high\": ", num(simple(ba)), ",\n",
    "  \"simple oak basal area\": ", num(simple(oak)), ",\n",
    "  \"simple density\": ", num(simple(tpa)), ",\n",
    "  \"stratified basal area: mean, se, df, low, high\": ", num(stratified(ba)), ",\n",
    "  \"stratified density\": ", num(stratified(tpa)), ",\n",
    "  \"mean height as slope of heights on trees\": ", num(slope(hs, tpa)), ",\n",
    "  \"lorey\": ", num(weighted.mean(trees$h, trees$d^2)), ",\n",
    "  \"quadratic diameter\": ", num(sqrt(mean(trees$d^2))), ",\n",
    "  \"points basal area: mean, se, low, high\": ", num(simple(by(rep(20, nrow(points))))), ",\n",
    "  \"points density\": ", num(simple(by(w))), ",\n",
    "  \"points lorey, plain mean of heights\": ", num(mean(points$h)), ",\n",
    "  \"points mean height\": ", num(weighted.mean(points$h, w)), ",\n",
    "  \"points quadratic diameter\": ", num(sqrt(weighted.mean(points$d^2, w))), ",\n",
    "  \"points mean height residual se\": ", num({
      x <- by(w); y <- by(w * points$h); r <- sum(y) / sum(x); e <- y - r * x
      sqrt(sum((e - mean(e))^2) / 8 / 9) / mean(x) }), "\n}\n",
    sep = "", file = file.path(here, "totals.json"))
