module github.com/stationphysics/stationphysics

go 1.24.0

require github.com/stretchr/testify v1.12.1

require (
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/pelletier/go-toml/v2 v2.4.3 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
)
