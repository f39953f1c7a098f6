package station

// A Description is everything the builder states about a station: the parts,
// how they are set and joined, where it stands and what it must do. Every
// section and every number is optional; nil means "not stated", and what
// depends on it is answered with CANNOT TELL and the name of the missing line.
//
// The struct tags are the one place where a field's key, unit, accepted range
// and meaning are written down: the reader, the validation, the template and
// the field reference are all made from them.
//
//	toml   key in the file
//	unit   unit of the number
//	range  accepted interval, both ends included
//	slip   intervals that a value in a wrong unit falls into, with the likely unit
//	oneof  accepted words
//	len    required length of a list
//	rows   columns of each row of a list of rows: quantity, unit, interval
//	std    value taken when the line is absent and the model needs one
//	doc    what it is
type Description struct {
	Name       string       `toml:"name" doc:"what the station is called in the review"`
	Site       *Site        `toml:"site" doc:"where it stands"`
	Climate    *Climate     `toml:"climate" doc:"monthly climate, from which an hourly year is made when no weather file is given"`
	Panel      *Panel       `toml:"panel" doc:"the photovoltaic panel"`
	Diode      *Diode       `toml:"diode" doc:"the blocking diode"`
	Charger    *Charger     `toml:"charger" doc:"the solar charger with its two trimmers"`
	Pack       *Pack        `toml:"pack" doc:"the battery pack and its protection"`
	Regulators []*Regulator `toml:"regulator" doc:"one table a regulator"`
	Loads      []*Load      `toml:"load" doc:"one table a load"`
	Service    *Service     `toml:"service" doc:"when the station stops to spare the pack and when it starts again"`
	Adapter    *Adapter     `toml:"adapter" doc:"a mains adapter that can be plugged in"`
	Links      []*Link      `toml:"link" doc:"one table a removable link of the power hub"`
	Box        *Box         `toml:"box" doc:"the box with electronics and pack"`
	Bus        *Bus         `toml:"bus" doc:"the sensor bus (I2C)"`
	Sensors    []*Sensor    `toml:"sensor" doc:"one table a sensor"`
	Reading    *Reading     `toml:"reading" doc:"one set of raw readings to be judged"`
}

// A Site is the place: position, heights and what hides the sun.
type Site struct {
	LatitudeDeg      *float64    `toml:"latitude_deg" unit:"deg" range:"-90..90" doc:"latitude, north positive"`
	LongitudeDeg     *float64    `toml:"longitude_deg" unit:"deg" range:"-180..180" doc:"longitude, east positive"`
	HeightM          *float64    `toml:"height_m" unit:"m" range:"-430..6000" doc:"height of the ground above sea level"`
	BarometerHeightM *float64    `toml:"barometer_height_m" unit:"m" range:"-430..6000" doc:"height of the pressure sensor above sea level"`
	UTCOffsetH       *float64    `toml:"utc_offset_h" unit:"h" range:"-12..14" std:"0" doc:"standard time of the place ahead of UTC, for the hours that the review prints"`
	GroundAlbedo     *float64    `toml:"ground_albedo" range:"0..1" slip:"1.5..100 a percentage" std:"0.2" doc:"share of sunlight that the ground reflects"`
	SkylineDeg       [][]float64 `toml:"skyline_deg" rows:"azimuth deg 0..360; elevation deg -5..90" doc:"points [azimuth, elevation] of what stands before the sky; azimuth clockwise from true north"`
	WindObstacleM    *float64    `toml:"wind_obstacle_m" unit:"m" range:"0..500" doc:"height of the nearest obstacle above the ground"`
	ObstacleAwayM    *float64    `toml:"obstacle_away_m" unit:"m" range:"0..5000" doc:"distance of that obstacle from the mast"`
}

// A Climate gives the monthly means, January first, and the extremes.
type Climate struct {
	GlobalKWhPerM2 []float64 `toml:"global_kwh_per_m2_day" unit:"kWh/m²" len:"12" range:"0..12" slip:"12.5..400 a monthly sum instead of a daily mean" doc:"mean daily sun on the flat in each month, January first: a weather service or a solar atlas has it"`
	AirC           []float64 `toml:"air_c" unit:"°C" len:"12" range:"-60..50" slip:"200..330 kelvins; 51..120 degrees Fahrenheit" doc:"mean air temperature of each month, January first"`
	RecordLowC     *float64  `toml:"record_low_c" unit:"°C" range:"-70..30" slip:"200..310 kelvins" doc:"lowest air temperature on record"`
	RecordHighC    *float64  `toml:"record_high_c" unit:"°C" range:"-20..60" slip:"270..340 kelvins; 61..140 degrees Fahrenheit" doc:"highest air temperature on record"`
	WindMPerS      *float64  `toml:"wind_m_per_s" unit:"m/s" range:"0..30" std:"1" doc:"mean wind at panel height"`
	SpreadK        *float64  `toml:"day_spread_k" unit:"K" range:"0..15" std:"4" doc:"standard deviation of a day's mean temperature about its month's"`
	SnowFrac       []float64 `toml:"snow_share" len:"12" range:"0..1" slip:"1.5..100 a percentage" doc:"share of days in each month on which snow lies on the panel"`
}

// A Panel is a photovoltaic panel by its label, and how it is mounted.
type Panel struct {
	PmaxW        *float64 `toml:"pmax_w" unit:"W" range:"0.05..1000" doc:"rated power"`
	VmpV         *float64 `toml:"vmp_v" unit:"V" range:"0.3..150" slip:"151..150000 millivolts" doc:"voltage at maximum power, standard test conditions"`
	ImpA         *float64 `toml:"imp_a" unit:"A" range:"0.005..30" slip:"31..30000 milliamperes" doc:"current at maximum power"`
	VocV         *float64 `toml:"voc_v" unit:"V" range:"0.4..200" slip:"201..200000 millivolts" doc:"open-circuit voltage"`
	IscA         *float64 `toml:"isc_a" unit:"A" range:"0.005..20" slip:"21..20000 milliamperes" doc:"short-circuit current"`
	Cells        *int     `toml:"cells" range:"1..144" doc:"cells in series"`
	VocPctPerK   *float64 `toml:"voc_pct_per_k" unit:"%/K" range:"-0.6..-0.15" slip:"0.15..0.6 a value without its minus sign" std:"-0.31" doc:"temperature coefficient of the open-circuit voltage; crystalline silicon if absent"`
	IscPctPerK   *float64 `toml:"isc_pct_per_k" unit:"%/K" range:"0.005..0.2" std:"0.05" doc:"temperature coefficient of the short-circuit current"`
	SeriesPanels *int     `toml:"series" range:"1..20" std:"1" doc:"panels in series"`
	Parallel     *int     `toml:"parallel" range:"1..20" std:"1" doc:"strings in parallel"`
	TiltDeg      *float64 `toml:"tilt_deg" unit:"deg" range:"0..90" doc:"tilt from the horizontal"`
	FacingDeg    *float64 `toml:"facing_deg" unit:"deg" range:"0..360" doc:"direction the panel faces, clockwise from true north"`
	SoilingFrac  *float64 `toml:"soiling_share" range:"0..0.9" slip:"1..90 a percentage" std:"0.03" doc:"share of light lost to dirt"`
}

// A Diode keeps the pack from discharging through the panel or charger.
type Diode struct {
	Place    string   `toml:"place" oneof:"panel|pack" doc:"panel: between panel and charger; pack: between charger and pack"`
	DropV    *float64 `toml:"drop_v" unit:"V" range:"0.01..2" slip:"10..2000 millivolts" doc:"forward voltage at drop_at_a, 25 °C"`
	DropAtA  *float64 `toml:"drop_at_a" unit:"A" range:"0.001..30" slip:"31..30000 milliamperes" doc:"current of that forward voltage"`
	LowDropV *float64 `toml:"low_drop_v" unit:"V" range:"0.01..2" slip:"10..2000 millivolts" doc:"forward voltage at a tenth of drop_at_a; a Schottky slope if absent"`
	ReverseV *float64 `toml:"reverse_v" unit:"V" range:"5..400" doc:"largest repetitive reverse voltage"`
}

// A Charger takes the panel's current at a held input voltage and charges the
// pack to a set output voltage.
type Charger struct {
	InputMaxV   *float64 `toml:"input_max_v" unit:"V" range:"3..150" doc:"largest input voltage, absolute maximum rating"`
	HoldV       *float64 `toml:"hold_v" unit:"V" range:"2..150" doc:"input voltage that the first trimmer makes it hold"`
	SetV        *float64 `toml:"set_v" unit:"V" range:"1..60" slip:"1000..60000 millivolts" doc:"output voltage at the second trimmer, read with nothing connected"`
	LimitA      *float64 `toml:"limit_a" unit:"A" range:"0.01..30" slip:"31..30000 milliamperes" doc:"charge current limit"`
	EffFrac     *float64 `toml:"efficiency" range:"0.3..1" slip:"30..100 a percentage" std:"0.85" doc:"efficiency, output power over input power"`
	IdleA       *float64 `toml:"idle_a" unit:"A" range:"0..0.1" slip:"0.2..100 milliamperes" std:"0.001" doc:"current it draws from the pack in the dark"`
	OpenWiperV  *float64 `toml:"open_wiper_v" unit:"V" range:"0..150" doc:"output voltage when the wiper of the output trimmer opens"`
	DriftPct    *float64 `toml:"drift_pct" unit:"%" range:"0..20" std:"1" doc:"drift and temperature error of the output setting"`
	MeterPct    *float64 `toml:"meter_pct" unit:"%" range:"0..10" std:"0.5" doc:"accuracy of the meter the trims are read with, percent of reading"`
	MeterDigits *int     `toml:"meter_digits" range:"0..50" std:"2" doc:"digits of the last place in the accuracy of the meter"`
	MeterStepV  *float64 `toml:"meter_step_v" unit:"V" range:"0.0001..1" std:"0.01" doc:"one digit of the meter in the range used"`
}

// A Pack is the battery.
type Pack struct {
	Chemistry  string   `toml:"chemistry" doc:"LiFePO4, lithium-ion, sealed lead-acid, flooded lead-acid or NiMH"`
	Cells      *int     `toml:"cells" range:"1..40" doc:"cells in series"`
	CapacityAh *float64 `toml:"capacity_ah" unit:"Ah" range:"0.05..400" slip:"401..400000 milliampere-hours" doc:"rated capacity of the pack"`
	CellOhm    *float64 `toml:"cell_ohm" unit:"ohm" range:"0.0001..1" slip:"1.5..1000 milliohms" doc:"resistance of one cell of the pack, all strings together; typical of chemistry and capacity if absent"`
	MismatchV  *float64 `toml:"mismatch_v" unit:"V" range:"0..0.5" slip:"1..500 millivolts" doc:"how far the highest cell stands above the mean at the end of charge"`
	TripOverV  *float64 `toml:"trip_over_v" unit:"V" range:"1..5" doc:"cell voltage at which the protection board stops charging"`
	ReleaseV   *float64 `toml:"release_v" unit:"V" range:"1..5" doc:"cell voltage at which it lets charging start again"`
	TripUnderV *float64 `toml:"trip_under_v" unit:"V" range:"0.5..4" doc:"cell voltage at which it stops discharging"`
	FuseA      *float64 `toml:"fuse_a" unit:"A" range:"0.05..100" doc:"fuse at the pack"`
	ColdStop   *bool    `toml:"cold_stop" doc:"whether charging is blocked below the cells' charge temperature"`
	Place      string   `toml:"place" oneof:"box|outside" doc:"where the cells are: in the box, or outside in the shade"`
	StartFrac  *float64 `toml:"start_share" range:"0..1" slip:"1.5..100 a percentage" std:"1" doc:"charge at the start of the year, as a share of capacity"`
}

// A Regulator feeds a rail from another node.
type Regulator struct {
	Name         string      `toml:"name" doc:"what it is called"`
	Kind         string      `toml:"kind" oneof:"linear|step-down|step-up" doc:"how it works"`
	From         string      `toml:"from" doc:"the node that feeds it: pack, adapter, charger or another rail"`
	Rail         string      `toml:"rail" doc:"the rail it makes"`
	OutV         *float64    `toml:"out_v" unit:"V" range:"0.5..60" slip:"500..60000 millivolts" doc:"output voltage"`
	InputMaxV    *float64    `toml:"input_max_v" unit:"V" range:"1..150" doc:"largest input voltage, absolute maximum rating"`
	InputMinV    *float64    `toml:"input_min_v" unit:"V" range:"0.3..60" doc:"smallest input voltage of a switching regulator"`
	DropoutV     *float64    `toml:"dropout_v" unit:"V" range:"0.01..3" slip:"10..3000 millivolts" doc:"dropout voltage at dropout_at_a"`
	DropoutAtA   *float64    `toml:"dropout_at_a" unit:"A" range:"0.001..10" slip:"11..10000 milliamperes" doc:"current of that dropout voltage"`
	IdleA        *float64    `toml:"idle_a" unit:"A" range:"0..0.1" slip:"0.2..100000 microamperes or milliamperes" doc:"its own current"`
	EffAtA       [][]float64 `toml:"efficiency_at_a" rows:"load current A 0..20; efficiency  0.02..1" doc:"points [load current, efficiency] of a switching regulator"`
	JunctionC    *float64    `toml:"junction_max_c" unit:"°C" range:"60..200" std:"125" doc:"largest rated junction temperature"`
	ThetaJCKPerW *float64    `toml:"junction_to_case_k_per_w" unit:"K/W" range:"0.1..200" doc:"thermal resistance junction to tab"`
	ThetaCAKPerW *float64    `toml:"case_to_air_k_per_w" unit:"K/W" range:"0.5..500" doc:"thermal resistance tab to air as mounted"`
	WiperV       *float64    `toml:"open_wiper_v" unit:"V" range:"0..150" doc:"output voltage when the wiper of its trimmer opens; absent if it has none"`
}

// A Load is a consumer on a rail with its daily pattern.
type Load struct {
	Name      string   `toml:"name" doc:"what it is called"`
	Rail      string   `toml:"rail" doc:"the rail it hangs on"`
	AsleepA   *float64 `toml:"asleep_a" unit:"A" range:"0..5" slip:"6..5000000 microamperes or milliamperes" doc:"current asleep"`
	AwakeA    *float64 `toml:"awake_a" unit:"A" range:"0..5" slip:"6..5000 milliamperes" doc:"current awake"`
	AwakeS    *float64 `toml:"awake_s" unit:"s" range:"0..86400" doc:"seconds awake in each period"`
	PeakA     *float64 `toml:"peak_a" unit:"A" range:"0..10" slip:"11..10000 milliamperes" doc:"current of the highest peak, for instance a radio burst"`
	PeakS     *float64 `toml:"peak_s" unit:"s" range:"0..3600" doc:"seconds at the peak in each period"`
	PeriodS   *float64 `toml:"period_s" unit:"s" range:"0.1..86400" doc:"length of the period"`
	DamageV   *float64 `toml:"damage_v" unit:"V" range:"0.5..100" doc:"voltage above which it is damaged, absolute maximum rating"`
	BrownOutV *float64 `toml:"brown_out_v" unit:"V" range:"0.5..60" doc:"voltage below which it stops"`
	RetryS    *float64 `toml:"retry_s" unit:"s" range:"0..86400" std:"0" doc:"further seconds awake in each period while the network is away"`
	AwayFrac  *float64 `toml:"network_away_share" range:"0..1" slip:"1.5..100 a percentage" std:"0" doc:"share of periods in which the network is away"`
}

// A Service is the rule by which the station stops and starts again.
type Service struct {
	StopV    *float64 `toml:"stop_v" unit:"V" range:"0.5..60" doc:"pack voltage at which it stops"`
	RestartV *float64 `toml:"restart_v" unit:"V" range:"0.5..60" doc:"pack voltage at which it starts again"`
	BootWh   *float64 `toml:"boot_wh" unit:"Wh" range:"0..10" std:"0" doc:"energy of one start, at the pack"`
	MaxLostH *float64 `toml:"accepted_outage_h" unit:"h" range:"0..8760" std:"24" doc:"hours without service in a year that the builder accepts"`
}

// An Adapter is a mains adapter.
type Adapter struct {
	RatedV  *float64 `toml:"rated_v" unit:"V" range:"1..60" slip:"90..400 the mains voltage instead of the adapter's output" doc:"voltage on its label"`
	RatedA  *float64 `toml:"rated_a" unit:"A" range:"0.05..20" slip:"21..20000 milliamperes" doc:"current on its label"`
	NoLoadV *float64 `toml:"no_load_v" unit:"V" range:"1..100" slip:"101..400 the mains voltage instead of the adapter's output" doc:"voltage with nothing connected, measured; an unregulated one stands well above its label"`
}

// A Link is a removable link, jumper or switch between two nodes.
type Link struct {
	Name   string   `toml:"name" doc:"what it is called"`
	Joins  []string `toml:"joins" len:"2" doc:"the two nodes it joins: panel, charger, pack, adapter or a rail"`
	Fitted *bool    `toml:"fitted" doc:"whether it is in"`
	Wanted *bool    `toml:"wanted" doc:"whether it belongs in for normal service"`
}

// A Box is the enclosure in the sun.
type Box struct {
	AreaM2       *float64 `toml:"area_m2" unit:"m²" range:"0.005..5" doc:"outer surface"`
	SunnyAreaM2  *float64 `toml:"sunny_area_m2" unit:"m²" range:"0..5" doc:"surface seen from the sun; a quarter of area_m2 if absent"`
	Absorptance  *float64 `toml:"absorptance" range:"0.05..1" slip:"5..100 a percentage" doc:"share of sunlight that the colour absorbs: white 0.25, grey 0.6, black 0.95, common practice"`
	OwnW         *float64 `toml:"own_w" unit:"W" range:"0..50" std:"0" doc:"mean power turned into heat inside, beside what the regulators lose"`
	ElectronicsC *float64 `toml:"electronics_max_c" unit:"°C" range:"30..125" std:"60" doc:"largest rated air temperature of the electronics"`
}

// A Bus is the I2C bus between controller and sensors.
type Bus struct {
	SupplyV      *float64  `toml:"supply_v" unit:"V" range:"1..5.5" doc:"voltage of the pull-ups"`
	PullUpsOhm   []float64 `toml:"pull_ups_ohm" unit:"ohm" range:"100..1000000" slip:"0.1..99 kiloohms" doc:"pull-up resistors on each line, the ones on modules too"`
	SpeedHz      *float64  `toml:"speed_hz" unit:"Hz" range:"1000..1000000" slip:"10..999 kilohertz" std:"100000" doc:"clock"`
	CableM       *float64  `toml:"cable_m" unit:"m" range:"0..100" doc:"length of cable"`
	FaradPerM    *float64  `toml:"cable_farad_per_m" unit:"F/m" range:"1e-12..1e-9" slip:"1..1000 picofarads" std:"1e-10" doc:"capacitance of the cable between line and ground"`
	DevicesFarad *float64  `toml:"devices_farad" unit:"F" range:"0..1e-9" slip:"1..1000 picofarads" std:"5e-11" doc:"capacitance of all pins and boards on a line"`
}

// A Sensor is a measuring part on a rail.
type Sensor struct {
	Name    string   `toml:"name" doc:"what it is called"`
	Kind    string   `toml:"kind" oneof:"temperature|humidity|pressure|light|wind|rain|voltage" doc:"what it measures"`
	Place   string   `toml:"place" oneof:"shield|box|mast|outside" doc:"where it sits"`
	Rail    string   `toml:"rail" doc:"the rail it hangs on"`
	DamageV *float64 `toml:"damage_v" unit:"V" range:"0.5..100" doc:"voltage above which it is damaged, absolute maximum rating"`
	TopLx   *float64 `toml:"top_lx" unit:"lx" range:"100..1000000" doc:"largest illuminance a light sensor can read"`
	HeightM *float64 `toml:"height_m" unit:"m" range:"0..100" doc:"height above the ground"`
}

// A Reading is one set of raw readings.
type Reading struct {
	PressureHPa *float64 `toml:"pressure_hpa" unit:"hPa" range:"300..1100" slip:"30000..110000 pascals; 32.5..110 kilopascals; 17..32.5 inches of mercury" doc:"raw pressure"`
	AirC        *float64 `toml:"air_c" unit:"°C" range:"-80..60" slip:"190..335 kelvins; 61..140 degrees Fahrenheit" doc:"air temperature in the shield"`
	BoxC        *float64 `toml:"box_c" unit:"°C" range:"-80..90" slip:"190..365 kelvins" doc:"temperature at the pressure sensor"`
	HumidityPct *float64 `toml:"rh_pct" unit:"%" range:"0..110" doc:"relative humidity over water"`
	LightLx     *float64 `toml:"light_lx" unit:"lx" range:"0..200000" doc:"illuminance"`
}

// Of returns a pointer to v: the short way to state a value when a Description
// is built in code.
func Of[T float64 | int | bool](v T) *T { return &v }
