module continuo

go 1.26
