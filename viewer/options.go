package viewer

import (
	"crypto/rand"
	"embed"
	"encoding/base32"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"slices"
	"strings"

	"github.com/nats-io/nats.go"

	"millrace/sim/bus"
)

//go:embed page
var embedded embed.FS

// Seat is one link to the page. Everybody who opens the link has its role; name is
// what the log says.
type Seat struct {
	Key  string // part of the address, letters, digits and dashes; "" for the plain address
	Role bus.Role
	Name string
}

// Options are what New needs.
type Options struct {
	Conn  *nats.Conn // to the bus, in this process or outside
	Run   string     // name of the run on the bus
	Seats []Seat
	// Hosts are the names under which the page may be asked for, without port; nil
	// for 127.0.0.1, localhost and ::1. Others are refused, so that a strange page
	// in the same browser cannot reach a page on loopback by a name of its own.
	Hosts []string
	// Refused is told of everything that was refused, may be nil. It is called from
	// many goroutines.
	Refused func(who Seat, kind, why string)
	// Fault is told of messages that were lost or could not be read, may be nil.
	Fault func(error)
}

// NewKey returns a key for a link that nobody can guess.
func NewKey() string {
	b := make([]byte, 15)
	rand.Read(b)
	return strings.ToLower(base32.StdEncoding.EncodeToString(b))
}

// Path is the address of a seat's page on the server.
func (s Seat) Path() string {
	if s.Key == "" {
		return "/"
	}
	return "/at/" + s.Key + "/"
}

// New returns the handler of the page: "/" and "/at/<key>/" by seat, their "line"
// (the websocket) and "/page/" (static files). It subscribes to the bus when the
// first page of a level comes. The handler is an io.Closer: Close ends the pages'
// lines, which a server's own shutdown leaves open, and the subscriptions.
func New(o Options) (http.Handler, error) {
	if o.Conn == nil {
		return nil, errors.New("viewer: no connection to the bus")
	}
	if !bus.CheckRun(o.Run) {
		return nil, fmt.Errorf("viewer: %q cannot be the name of a run on the bus", o.Run)
	}
	if len(o.Seats) == 0 {
		return nil, errors.New("viewer: no seats; give at least one link with its role")
	}
	seats := map[string]Seat{}
	for _, s := range o.Seats {
		if bus.Token(s.Key) != s.Key && s.Key != "" {
			return nil, fmt.Errorf("viewer: key of %q: lower case letters, digits and dashes only", s.Name)
		}
		if !slices.Contains(bus.Roles, s.Role) {
			return nil, fmt.Errorf("viewer: %q is no role", s.Role)
		}
		if _, twice := seats[s.Key]; twice {
			return nil, errors.New("viewer: two seats have the same key")
		}
		seats[s.Key] = s
	}
	if o.Hosts == nil {
		o.Hosts = []string{"127.0.0.1", "localhost", "::1"}
	}
	if o.Refused == nil {
		o.Refused = func(Seat, string, string) {}
	}
	if o.Fault == nil {
		o.Fault = func(error) {}
	}
	page, err := fs.Sub(embedded, "page")
	if err != nil {
		return nil, fmt.Errorf("viewer: %w", err)
	}
	index, err := fs.ReadFile(page, "index.html")
	if err != nil {
		return nil, fmt.Errorf("viewer: %w", err)
	}
	h := newHub(o)
	return &server{hub: h, seats: seats, hosts: o.Hosts, index: index, files: http.StripPrefix("/page/", http.FileServerFS(page))}, nil
}
