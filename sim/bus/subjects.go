package bus

import "strings"

// Token is a name as a part of a subject: lower case, "-" for spaces and for
// whatever may not stand in a subject.
func Token(name string) string {
	var b strings.Builder
	dash := false
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_':
			b.WriteRune(r)
			dash = false
		case !dash && b.Len() > 0:
			b.WriteByte('-')
			dash = true
		}
	}
	if s := strings.TrimSuffix(b.String(), "-"); s != "" {
		return s
	}
	return "none"
}

// RecordSubject is the subject of a record.
func RecordSubject(run, area, unit, event string) string {
	return "millrace." + run + "." + Token(area) + "." + Token(unit) + "." + Token(event)
}

// What pages are sent, the last part of a page subject.
const (
	WhatUpdate   = "update"
	WhatCut      = "cut"
	WhatForecast = "forecast"
	WhatTold     = "told"
	WhatLog      = "log"
	WhatCall     = "call"
	WhatSnapshot = "snapshot" // request
)

// PageSubject is the subject of a message to pages; what "*" takes all of them
// (a request for a snapshot is one of them too and has no envelope).
func PageSubject(run string, to Audience, what string) string {
	return "millrace." + run + ".drill." + string(to) + "." + what
}

// CommandSubject is where commands are sent as requests.
func CommandSubject(run string) string { return "millrace." + run + ".drill.control.command" }

// StatusSubject is where the status is asked for.
func StatusSubject(run string) string { return "millrace." + run + ".drill.control.status" }

// ActionSubject is the subject of an action; kind "*" takes all of them.
func ActionSubject(run, kind string) string { return "millrace." + run + ".drill.actions." + kind }

// ActionStream is the name of the JetStream stream of a run's actions.
func ActionStream(run string) string { return "actions-" + run }

// CheckRun refuses a run name that could not stand in a subject.
func CheckRun(run string) bool { return run != "" && len(run) <= 64 && Token(run) == run }

// TrySubject is where an order is looked ahead with: a Command with an Order is
// answered by a Forecast as if it had been given now, or by a Reply that says why it
// cannot be.
func TrySubject(run string) string { return "millrace." + run + ".drill.control.try" }
