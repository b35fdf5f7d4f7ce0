package watch

import (
	"runtime"
	"time"
)

// Settings of the service. Durations are seconds in the settings file.
type Settings struct {
	Settle    time.Duration `toml:"settle" unit:"s" min:"0.1" max:"600" doc:"a file is taken when its size and time have stood still for this long" source:"common practice, no source"`
	Patience  time.Duration `toml:"patience" unit:"s" min:"1" max:"604800" doc:"a file that stands still this long without ending as a DXF ends is filed as failed" source:"common practice, no source"`
	Rescan    time.Duration `toml:"rescan" unit:"s" min:"0.1" max:"3600" doc:"drop/ is looked through at least this often, events or not" source:"common practice, no source"`
	Workers   int           `toml:"workers" min:"0" max:"256" doc:"templates worked on at the same time; 0 is one a processor core" source:"common practice, no source"`
	JobTime   time.Duration `toml:"-"` // a template that takes longer is filed as failed; set from the top-level job_time
	MostBytes int64         `toml:"-"` // a larger file is not read, and filed as failed; set from reading.file_bytes
	Made      string        `toml:"-"` // tells settings that give other results apart; "" is not known
	JobMemory int64         `toml:"job_memory" unit:"bytes" min:"67108864" max:"68719476736" doc:"a template that needs more memory is filed as failed" source:"common practice, no source"`
	Shutdown  time.Duration `toml:"shutdown" unit:"s" min:"0" max:"5" doc:"when told to stop, templates in work get this long to finish before they are given back; the service ends within 5 s whatever hangs" source:"common practice, no source"`
	Heartbeat time.Duration `toml:"heartbeat" unit:"s" min:"0.1" max:"60" doc:"how often a server writes its sign of life; under the watchdog time of its unit" source:"common practice, no source"`
	Stale     time.Duration `toml:"stale" unit:"s" min:"1" max:"86400" doc:"the work of a server on another machine that gave no sign of life for this long is taken over; several heartbeats" source:"common practice, no source"`
	Decisions time.Duration `toml:"decisions" unit:"s" min:"0.1" max:"3600" doc:"how often the workbooks in review/ are looked at for decisions of the office" source:"common practice, no source"`
	Register  time.Duration `toml:"register" unit:"s" min:"0.1" max:"3600" doc:"register.xlsx is written again this long after the last change" source:"common practice, no source"`
	OpenMark  time.Duration `toml:"open_mark" unit:"s" min:"60" max:"2592000" doc:"a mark that somebody holds a workbook open (~$report.xlsx) is believed for this long; one left behind by a crash is then ignored" source:"common practice, no source"`
}

// Default is how the service runs when nothing is set.
func Default() Settings {
	return Settings{
		Settle:    2 * time.Second,
		Patience:  10 * time.Minute,
		Rescan:    10 * time.Second,
		Workers:   0,
		JobTime:   5 * time.Minute,
		JobMemory: 1 << 30,
		MostBytes: 512 << 20,
		Shutdown:  3 * time.Second,
		Heartbeat: 5 * time.Second,
		Stale:     2 * time.Minute,
		Decisions: 10 * time.Second,
		Register:  5 * time.Second,
		OpenMark:  24 * time.Hour,
	}
}

// What the service takes beside its workers, and a worker beyond job_memory before
// it notices (see memoryGlance). Common practice, no source.
const (
	serviceMemory = 1 << 30
	workerExcess  = 256 << 20
)

// MostMemory is what the service and its workers may take together, bytes: the
// limit that the system is to set must leave room for it.
func (s Settings) MostMemory() int64 {
	return serviceMemory + int64(s.workers())*(s.JobMemory+workerExcess)
}

// inWorkFactor is how many jobs are in work for each worker: while one is worked on, the
// files of another are taken, flushed and published, which is mostly waiting for the disk.
const inWorkFactor = 2

// inWork is how many jobs are in work at the same time, those included that wait for a worker.
func (s Settings) inWork() int { return inWorkFactor * s.workers() }

// workers is how many templates are worked on at the same time.
func (s Settings) workers() int {
	if s.Workers > 0 {
		return s.Workers
	}
	return runtime.GOMAXPROCS(0)
}
