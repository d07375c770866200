package viewer

import (
	"encoding/json"
	"errors"
	"slices"
	"time"

	"github.com/nats-io/nats.go"

	"millrace/sim/bus"
)

// allowed says which roles may send a command. The drill decides again.
var allowed = map[string][]bus.Role{
	bus.CmdHold:    {bus.Controller},
	bus.CmdResume:  {bus.Controller},
	bus.CmdConfirm: {bus.Controller},
	bus.CmdRunTo:   {bus.Controller},
	bus.CmdPace:    {bus.Controller},
	bus.CmdStep:    {bus.Controller},
	bus.CmdInject:  {bus.Controller},
	bus.CmdRewind:  {bus.Controller},
	bus.CmdOrder:   {bus.Player, bus.Controller},
	bus.CmdAck:     {bus.Player, bus.Controller, bus.Evaluator},
	bus.CmdNote:    {bus.Evaluator, bus.Controller},
	bus.CmdAskHold: {bus.Player},
	bus.CmdStop:    bus.Roles,
	bus.CmdTry:     {bus.Player, bus.Controller},
}

// always may be sent by a page that looks at old news: they can only stop time.
var always = []string{bus.CmdHold, bus.CmdStop, bus.CmdAskHold}

const cmdTimeout = 8 * time.Second

// refuse answers that nothing was done and tells who runs the server.
func (c *client) refuse(u *up, kind, why string) {
	c.hub.o.Refused(c.seat, kind, why)
	d := down{K: kAck, ID: u.ID, Why: why}
	c.note(d.bytes())
}

// command checks what a page wants and passes it on.
func (c *client) command(u *up) {
	var cmd bus.Command
	switch {
	case u.K == "do" && u.Cmd != nil:
		cmd = *u.Cmd
	case u.K == bus.CmdTry && u.Order != nil:
		cmd = bus.Command{Kind: bus.CmdTry, Order: u.Order}
	default:
		c.refuse(u, "message", "it says nothing to do")
		return
	}
	kind := cmd.Kind
	if u.K == "do" && kind == bus.CmdTry {
		kind = "unknown"
	}
	roles, known := allowed[kind]
	switch {
	case !known:
		c.refuse(u, kind, "there is no such command")
		return
	case !slices.Contains(roles, c.seat.Role):
		c.refuse(u, kind, "as "+string(c.seat.Role)+" you may not do this")
		return
	case cmd.As != "" && c.seat.Role != bus.Controller:
		c.refuse(u, kind, "only the controller acts in another's place")
		return
	}
	if !slices.Contains(always, kind) {
		if why := c.level.standing(u.Ep, u.Q); why != "" {
			c.refuse(u, kind, why)
			return
		}
	}
	if kind == bus.CmdTry && c.looks.Add(1) > 2 {
		c.looks.Add(-1)
		c.refuse(u, kind, "the last look-ahead is still being made")
		return
	}
	cmd.ID, cmd.Epoch, cmd.By, cmd.Role = u.ID, u.Ep, c.seat.Name, c.seat.Role
	subject := bus.CommandSubject(c.hub.o.Run)
	if kind == bus.CmdTry {
		subject = bus.TrySubject(c.hub.o.Run)
	}
	go c.ask(u, kind, subject, cmd)
}

// ask passes a command to the drill and its answer to the page.
func (c *client) ask(u *up, kind, subject string, cmd bus.Command) {
	if kind == bus.CmdTry {
		defer c.looks.Add(-1)
	}
	b, err := json.Marshal(cmd)
	if err != nil {
		c.refuse(u, kind, err.Error())
		return
	}
	r, err := c.hub.o.Conn.Request(subject, b, cmdTimeout)
	if err != nil {
		why := "the drill does not answer; it may or may not have been done: look at the log"
		if errors.Is(err, nats.ErrNoResponders) {
			why = "the drill's program is not there; nothing was done"
		}
		if kind == bus.CmdTry {
			why = "no preview: this drill does not answer such questions"
		}
		c.refuse(u, kind, why)
		return
	}
	var e bus.Envelope
	if err := json.Unmarshal(r.Data, &e); err != nil {
		c.refuse(u, kind, "the drill's answer cannot be read")
		return
	}
	if kind == bus.CmdTry && e.Type == bus.TypeForecast {
		d := down{K: kTrial, ID: u.ID, D: e.Data}
		c.note(d.bytes())
		return
	}
	var reply bus.Reply
	if err := json.Unmarshal(e.Data, &reply); err != nil {
		c.refuse(u, kind, "the drill's answer cannot be read")
		return
	}
	if !reply.OK {
		c.hub.o.Refused(c.seat, kind, reply.Why)
	}
	d := down{K: kAck, ID: u.ID, OK: reply.OK, Why: reply.Why, D: e.Data}
	c.note(d.bytes())
}
