module github.com/stationphysics/stationphysics/speed

go 1.24.0

require (
	github.com/soniakeys/meeus/v3 v3.0.1
	github.com/soniakeys/unit v1.0.0
	github.com/stationphysics/stationphysics v0.0.0
	github.com/stretchr/testify v1.12.1
	golang.org/x/perf v0.0.0-20230113213139-801c7ef9e5c5
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/aclements/go-moremath v0.0.0-20210112150236-f10218a38794 // indirect
	github.com/pelletier/go-toml/v2 v2.4.3 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
)

replace github.com/stationphysics/stationphysics => ../
