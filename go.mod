module trueup

go 1.26
