package viewer

import (
	"encoding/json"

	"millrace/sim/bus"
)

// Kinds of message to the page beside those named as on the bus.
const (
	kHello = "hello"
	kSnap  = "snap"
	kWait  = "wait"
	kWho   = "who"
	kAck   = "ack"
	kTrial = "trial"
	kState = "status"
)

// down is a message to the page.
type down struct {
	K    string          `json:"k"`
	A    bus.Audience    `json:"a,omitempty"`
	Ep   int             `json:"ep,omitempty"`
	Q    uint64          `json:"q,omitempty"`
	Age  int64           `json:"age,omitempty"` // ms since the last news, on snap
	Hub  string          `json:"hub,omitempty"`
	Role bus.Role        `json:"role,omitempty"`
	Name string          `json:"name,omitempty"`
	ID   string          `json:"id,omitempty"`
	OK   bool            `json:"ok,omitempty"`
	Why  string          `json:"why,omitempty"`
	D    json.RawMessage `json:"d,omitempty"`
}

func (d *down) bytes() []byte {
	b, err := json.Marshal(d)
	if err != nil { // only raw data that is no JSON, which was checked when it came
		b, _ = json.Marshal(&down{K: kWait, Why: err.Error()})
	}
	return b
}

// up is a message from the page.
type up struct {
	K     string       `json:"k"` // do or try
	ID    string       `json:"id"`
	Ep    int          `json:"ep"`
	Q     uint64       `json:"q"`
	Cmd   *bus.Command `json:"cmd"`
	Order *bus.Order   `json:"order"`
}

// head is what every page message on the bus begins with.
type head struct {
	Epoch int     `json:"ep"`
	Q     uint64  `json:"q"`
	T     float64 `json:"t"`
}
