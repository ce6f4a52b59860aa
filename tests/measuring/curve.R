# Reference fits for curve.test.ts beside it: run with `Rscript tests/measuring/curve.R > tests/measuring/curve.json`. The stands are fetched: references/stands.
# Curtis 1967, ln(h - 4.5) = a + b / d, by least squares with its 90 percent prediction limits; Naslund 1936,
# h = 4.5 + d^2 / (a + b d)^2, by nonlinear least squares. Feet and inches. R 4.2.2, package stats.
folder <- "tests/references/stands/"
cherry <- read.csv(paste0(folder, "trees_black_cherry.csv"), comment.char = "#")
ufc <- read.csv(paste0(folder, "ufc_even_plots.csv"), comment.char = "#")
fir <- ufc[ufc$species == "GF" & ufc$height_dm > 0 & ufc$dbh_mm > 0, ]
fit <- function(d, h, at) {
  curtis <- lm(log(h - 4.5) ~ I(1 / d))
  limits <- 4.5 + exp(predict(curtis, data.frame(d = at), interval = "prediction", level = 0.9))
  naslund <- nls(h ~ 4.5 + d^2 / (a + b * d)^2, start = list(a = 0.6, b = 0.1))
  rows <- sprintf('{"d":%g,"curtis":%.4f,"low90":%.4f,"high90":%.4f,"naslund":%.4f}', at, limits[, "fit"],
    limits[, "lwr"], limits[, "upr"], predict(naslund, data.frame(d = at)))
  sprintf('{"n":%d,"sdLog":%.5f,"at":[%s]}', length(d), summary(curtis)$sigma, paste(rows, collapse = ","))
}
cat(sprintf('{"blackCherry":%s,"grandFir":%s}\n',
  fit(cherry$dbh_in, cherry$height_ft, c(9, 11, 13, 16, 18)),
  fit(fir$dbh_mm / 25.4, fir$height_dm / 3.048, c(6, 9, 12, 16, 20, 24))))
