"""The statistical models under findings: null model, Bayes factors, censored regressions."""
