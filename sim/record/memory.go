package record

// Memory keeps every event.
type Memory struct{ Events []Event }

// Put appends a copy of the events.
func (m *Memory) Put(events []Event) { m.Events = append(m.Events, events...) }
