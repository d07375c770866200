package pickling

// Stored is a looper: strip stored, and room for it, in m of strip.
type Stored struct{ Strip, Room float64 }

// EntryStop is the longest stop of the entry, s, that an entry looper carries:
// what it holds, drawn at the process speed.
func (s Stored) EntryStop(process float64) float64 { return s.Strip / process }

// ExitStop is the longest stop of the exit, s, that an exit looper carries:
// what it still takes, filled at the process speed.
func (s Stored) ExitStop(process float64) float64 { return (s.Room - s.Strip) / process }

// Drawn is the strip, m, that leaves (or fills) a looper in a stop.
func Drawn(process, stop float64) float64 { return process * stop }

// Recovery is the time, s, a looper takes to come back from a stop: the side
// that stood runs at its full speed, the process goes on. +Inf if that side is
// no faster than the process.
func Recovery(process, stop, full float64) float64 {
	if !(full > process) {
		return inf
	}
	return process * stop / (full - process)
}

// SustainableSpeed is the process speed, m/s, that one side can keep up with:
// each coil of a length (m) costs it the coil at full speed and a stop (s).
func SustainableSpeed(length, full, stop float64) float64 {
	return length / (length/full + stop)
}
