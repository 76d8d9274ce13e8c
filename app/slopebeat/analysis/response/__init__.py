"""Heart rate as an answer to work: work rate, the fit, decoupling and the speed that holds the band."""
