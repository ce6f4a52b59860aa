# Makes statistics.json beside this file: Rscript tests/core/statistics.R
# Quantiles and probabilities by R's own qt, pt, qnorm, pnorm and pchisq, 17 digits.
options(digits = 17)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
digits <- function(x) formatC(x, digits = 17, format = "g", flag = "", width = 1)
rows <- function(name, ins, out) {
  lines <- sapply(seq_along(out), function(i)
    paste0("    [", paste(c(sapply(ins, function(v) digits(v[i])), digits(out[i])), collapse = ", "), "]"))
  paste0("  \"", name, "\": [\n", paste(lines, collapse = ",\n"), "\n  ]")
}
g <- expand.grid(p = c(1e-12, 1e-6, 0.001, 0.025, 0.1, 0.4, 0.499, 0.6, 0.9, 0.95, 0.975, 0.995, 0.9999),
                 df = c(1, 1.3, 2, 2.5, 3, 4, 5, 7.25, 9, 14, 19, 24, 29, 39, 59, 120, 1000.5, 99999, 2e5, 1e7))
h <- expand.grid(t = c(-30, -4, -1.2, -0.01, 0, 0.3, 1, 2.1, 6, 50), df = c(1, 2.5, 4, 11, 30, 500, 99999))
z <- c(-37, -20, -10, -6, -5.6, -3.3, -1.96, -0.7, -0.6, -0.01, 0, 0.2, 0.67, 0.68, 1, 1.645, 2.5758, 5, 8)
q <- c(1e-300, 1e-100, 1e-20, 1e-9, 1e-4, 0.025, 0.07, 0.08, 0.3, 0.5, 0.51, 0.9, 0.95, 0.975, 0.999, 0.9999999)
k <- expand.grid(x = c(0, 0.1, 1, 3.841, 9.2, 25, 80), df = c(1, 2, 3, 4, 7, 10, 25))
cat("{\n",
    "  \"source\": \"", R.version.string, ": qt, pt, qnorm, pnorm, pchisq; made by statistics.R\",\n",
    paste(c(rows("qt: p, df, t", list(g$p, g$df), qt(g$p, g$df)),
            rows("pt: t, df, p", list(h$t, h$df), pt(h$t, h$df)),
            rows("pnorm: z, p", list(z), pnorm(z)),
            rows("qnorm: p, z", list(q), qnorm(q)),
            rows("pchisq upper: x, df, p", list(k$x, k$df), pchisq(k$x, k$df, lower.tail = FALSE))),
          collapse = ",\n"),
    "\n}\n", sep = "", file = file.path(here, "statistics.json"))
