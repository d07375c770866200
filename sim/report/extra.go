package report

// Extra is what a report says beside the answer itself: everything that whoever
// read the files and the command line knows and the answer does not.
type Extra struct {
	Title   string // of the scenario; the comparison's own name when ""
	Command string // the command line that gives this answer again
	Version string // of the program
	// Currency of a single run; a comparison brings its own.
	Currency string
	Files    []File // the inputs

	Assumptions []string
	Cautions    []string // one for each kind of upset in the scenario
	LeftOut     []string // what the model leaves out
	Given       []string // units whose rate was given, not computed; the route's own when nil
	Marks       []Mark   // moments drawn into the pictures
}

// File is an input and its checksum.
type File struct {
	Name   string
	SHA256 string // hexadecimal
}

// Mark is a moment worth a line in a picture, hours after the start.
type Mark struct {
	At    float64
	Label string
}

// planningAid ends every answer.
const planningAid = "Planning aid only: it never controls plant and is no permit to work. Headcount first; isolate, lock out " +
	"and prove it. Site procedures, local codes and licensed practice decide."
