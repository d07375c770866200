package bus

import (
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

// Options say where the bus is.
type Options struct {
	// URL of a NATS server with JetStream outside; "" runs one inside the program,
	// which opens no port.
	URL string
	// StateDir holds what must survive the program; it is locked while the bus is
	// open. It is needed inside; outside it is only locked, and may be "".
	StateDir string
	// SyncAlways writes every action through to the disk before it counts. Without
	// it an action survives a crash of the program but not a power cut within two
	// minutes.
	SyncAlways bool
	// MaxStore is the room for the store inside, bytes; 0 for 4 GiB.
	MaxStore int64
	// Told, if set, is told the first of each kind of fault.
	Told func(what string, err error)
}

// Bus is a connection with, where it is inside, the server behind it.
type Bus struct {
	Conn   *nats.Conn
	Faults *Faults

	o      Options
	server *server.Server
	lock   *os.File
}

// largest is the largest message the server inside takes: a snapshot of a long
// drill.
const largest = 8 << 20

// startWithin is how long the server inside may take to be ready; it needs
// milliseconds.
const startWithin = 20 * time.Second

// Open starts or joins a bus.
func Open(o Options) (b *Bus, err error) {
	b = &Bus{o: o, Faults: &Faults{told: o.Told}}
	defer func() {
		if err != nil {
			b.Close()
			b = nil
		}
	}()
	if o.StateDir != "" {
		if err := os.MkdirAll(o.StateDir, 0o700); err != nil {
			return b, fmt.Errorf("the state folder cannot be made: %w", err)
		}
		if b.lock, err = lockDir(o.StateDir); err != nil {
			return b, err
		}
	}
	options := append([]nats.Option{nats.Name("millrace"), nats.MaxReconnects(-1), nats.ReconnectWait(250 * time.Millisecond)}, b.Faults.handlers()...)
	if o.URL != "" {
		if err := checkURL(o.URL); err != nil {
			return b, err
		}
		if b.Conn, err = nats.Connect(o.URL, options...); err != nil {
			return b, fmt.Errorf("the bus at %s does not answer: %w", withoutPassword(o.URL), err)
		}
		return b, nil
	}
	if o.StateDir == "" {
		return b, errors.New("bus: a bus inside needs a state folder")
	}
	room := o.MaxStore
	if room <= 0 {
		room = 4 << 30
	}
	b.server, err = server.NewServer(&server.Options{
		ServerName: "millrace", DontListen: true, NoSigs: true, NoLog: true, JetStream: true, StoreDir: filepath.Join(o.StateDir, "bus"),
		JetStreamMaxStore: room, JetStreamMaxMemory: 64 << 20, MaxPayload: largest, MaxPending: 8 * largest, SyncAlways: o.SyncAlways,
	})
	if err != nil {
		return b, fmt.Errorf("bus: %w", err)
	}
	b.server.Start()
	if !b.server.ReadyForConnections(startWithin) {
		return b, errors.New("bus: the server inside did not start; is the state folder's disk full or slow?")
	}
	b.Conn, err = nats.Connect("", append(options, nats.InProcessServer(b.server))...)
	if err != nil {
		return b, fmt.Errorf("bus: %w", err)
	}
	return b, nil
}

// Connect gives a further connection to the same bus, with a queue and faults of
// its own; whoever asks for it closes it.
func (b *Bus) Connect(name string, f *Faults) (*nats.Conn, error) {
	if f == nil {
		f = b.Faults
	}
	options := append([]nats.Option{nats.Name(name), nats.MaxReconnects(-1)}, f.handlers()...)
	if b.server != nil {
		return nats.Connect("", append(options, nats.InProcessServer(b.server))...)
	}
	return nats.Connect(b.o.URL, options...)
}

// Close ends the connection and the server inside, and frees the state folder.
func (b *Bus) Close() {
	if b.Conn != nil {
		_ = b.Conn.FlushTimeout(time.Second)
		b.Conn.Close()
	}
	if b.server != nil {
		b.server.Shutdown()
		b.server.WaitForShutdown()
	}
	if b.lock != nil {
		_ = b.lock.Close()
	}
}

func checkURL(text string) error {
	for _, one := range strings.Split(text, ",") {
		u, err := url.Parse(strings.TrimSpace(one))
		if err != nil || u.Host == "" {
			return fmt.Errorf("%q is no address of a bus; write for example nats://127.0.0.1:4222", withoutPassword(one))
		}
		switch u.Scheme {
		case "nats", "tls", "ws", "wss":
		default:
			return fmt.Errorf("%q is no address of a bus; write for example nats://127.0.0.1:4222", withoutPassword(one))
		}
	}
	return nil
}

// withoutPassword is an address that may be shown.
func withoutPassword(text string) string {
	at := strings.LastIndex(text, "@")
	if at < 0 {
		return text
	}
	scheme, _, ok := strings.Cut(text, "://")
	if !ok {
		return text[at+1:]
	}
	return scheme + "://" + text[at+1:]
}
