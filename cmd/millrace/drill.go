package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/rs/zerolog"
	"github.com/spf13/cobra"

	"millrace/sim/bus"
	"millrace/sim/drill"
	"millrace/viewer"
)

type drillFlags struct {
	listen, bus, state string
	hosts, players     []string
	pace               float64
	future, seed       uint64
	futures            int
	noOpen, sync, json bool
}

func newDrill() *cobra.Command {
	var f drillFlags
	c := &cobra.Command{
		Use:   "drill SCENARIO",
		Short: "Can the shift team run this upset? A live page, roles, orders, rewind",
		Long: `drill plays a scenario by the wall clock with people at the levers, on a page in the
browser. It begins held; the controller lets time run. Everything that is ordered or
injected is kept in the state folder: a drill that was ended, or killed, goes on from
there, held, when it is started again.

EXERCISE. It never controls plant and is no work permit.`,
		Example: "  millrace drill scenarios/larkfell/stand-wreck.lua\n  millrace drill my-scenario.lua --pace 2 --player \"steel side\" --player \"hot mill\" --no-open",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args[0]) },
	}
	fl := c.Flags()
	fl.StringVar(&f.listen, "listen", "127.0.0.1:8731", "address of the page; port 0 takes a free one")
	fl.StringArrayVar(&f.hosts, "host", nil, "name under which others may ask for the page; needed when it listens beyond this machine")
	fl.Float64Var(&f.pace, "pace", 1, "simulated minutes a second; when given, a new drill begins to run at once")
	fl.StringVar(&f.bus, "bus", "", "NATS server with JetStream to use, nats://HOST:4222; one inside the program when left out")
	fl.StringVar(&f.state, "state", "", "folder of what survives the program; runs/drill-NAME when left out")
	fl.StringArrayVar(&f.players, "player", nil, "name of a player; each gets a link; may be repeated")
	fl.Uint64Var(&f.future, "future", 0, "which future")
	fl.Uint64Var(&f.seed, "seed", defaultSeed, "seed of the luck")
	fl.IntVar(&f.futures, "futures", 20, "futures of a look-ahead")
	fl.BoolVar(&f.sync, "sync", false, "write every action through to the disk: survives a power cut too, slower")
	fl.BoolVar(&f.noOpen, "no-open", false, "do not open the page in a browser")
	fl.BoolVar(&f.json, "json", false, "the ready line as JSON, with every link")
	return c
}

func (f *drillFlags) run(c *cobra.Command, file string) error {
	if !(f.pace > 0 && f.pace <= 600) {
		return badInput("--pace: give simulated minutes a second, above 0 to 600")
	}
	if f.futures < 1 || f.futures > 200 {
		return badInput("--futures: %d; give 1 to 200", f.futures)
	}
	if err := f.checkListen(); err != nil {
		return err
	}
	s, err := loadScenario(file)
	if err != nil {
		return err
	}
	if !c.Flags().Changed("seed") && s.Seed != 0 {
		f.seed = s.Seed
	}
	if f.state == "" {
		f.state = filepath.Join("runs", "drill-"+slug(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))))
	}
	name := bus.Token(filepath.Base(f.state))
	if len(name) > 64 {
		name = strings.Trim(name[:64], "-")
	}
	log := logger(c)
	// A drill ends in order by either signal.
	ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()

	listener, err := net.Listen("tcp", f.listen)
	if err != nil {
		return badInput("--listen %s: %v; give another address, or port 0 for a free one", f.listen, reason(err))
	}
	defer listener.Close()
	b, err := bus.Open(bus.Options{URL: f.bus, StateDir: f.state, SyncAlways: f.sync, Told: func(what string, err error) { log.Warn().Err(err).Msg(what) }})
	if err != nil {
		return badInput("%v", err)
	}
	defer b.Close()
	address := f.reached(listener.Addr().String())
	seats, err := f.seats(address)
	if err != nil {
		return err
	}
	k := caseOf(s, f.seed, 1, 1)
	h, err := drill.New(b, drill.Config{Scenario: drill.Scenario{Case: k, Start: s.From, Future: f.future, Public: s.Public}, Run: name, Version: version, Inputs: k.Inputs,
		Pace: f.pace, Go: c.Flags().Changed("pace"), Futures: f.futures, Players: f.playerNames()})
	if err != nil {
		return err
	}
	defer h.Close()
	nc, err := b.Connect("page", nil)
	if err != nil {
		return err
	}
	defer nc.Close()
	page, err := viewer.New(viewer.Options{Conn: nc, Run: name, Seats: seats, Hosts: f.allHosts(),
		Refused: func(who viewer.Seat, kind, why string) {
			log.Info().Str("who", who.Name).Str("role", string(who.Role)).Str("kind", kind).Msg("refused: " + why)
		},
		Fault: func(err error) { b.Faults.Add("page", err) }})
	if err != nil {
		return err
	}
	server := &http.Server{Handler: withHealth(page, h), ReadHeaderTimeout: 10 * time.Second, BaseContext: func(net.Listener) context.Context { return ctx }}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	if err := f.ready(c, address, name, seats, log); err != nil {
		return err
	}
	select {
	case <-ctx.Done():
	case err = <-failed:
		if errors.Is(err, http.ErrServerClosed) {
			err = nil
		}
	}
	end, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if server.Shutdown(end) != nil {
		_ = server.Close() // pages keep their line open; the drill is safe
	}
	return err
}

// checkListen refuses to listen beyond this machine by mistake.
func (f *drillFlags) checkListen() error {
	host, _, err := net.SplitHostPort(f.listen)
	if err != nil {
		return badInput("--listen: %q is no address; write for example 127.0.0.1:8731", f.listen)
	}
	ip := net.ParseIP(host)
	if host == "localhost" || ip != nil && ip.IsLoopback() || len(f.hosts) > 0 {
		return nil
	}
	return badInput("--listen %s would be open to others on the network; if you want that, say with --host under which name they reach it", f.listen)
}

func (f *drillFlags) allHosts() []string {
	return append([]string{"127.0.0.1", "localhost", "::1"}, f.hosts...)
}

// playerNames are those of the flags, or the one that a drill has by itself.
func (f *drillFlags) playerNames() []string {
	if len(f.players) == 0 {
		return []string{"operations manager"}
	}
	return f.players
}

// keptLink is a seat as links.json keeps it, with its whole link.
type keptLink struct {
	viewer.Seat
	URL string
}

// reached is the address by which others reach the page that listens on one.
func (f *drillFlags) reached(address string) string {
	if len(f.hosts) > 0 {
		if _, port, err := net.SplitHostPort(address); err == nil {
			return net.JoinHostPort(f.hosts[0], port)
		}
	}
	return address
}

// seats are the links of the drill at an address. Keys are kept in the state folder, so
// that links hold when the program comes back.
func (f *drillFlags) seats(address string) ([]viewer.Seat, error) {
	players := f.playerNames()
	file := filepath.Join(f.state, "links.json")
	var old, kept []keptLink
	var seats []viewer.Seat
	switch data, err := os.ReadFile(file); {
	case err == nil:
		if err := json.Unmarshal(data, &old); err != nil {
			return nil, badInput("%s cannot be read (%v); remove it to make new links", file, err)
		}
	case !errors.Is(err, fs.ErrNotExist):
		return nil, badInput("%s cannot be read: %v", file, reason(err))
	}
	put := func(role bus.Role, name string) {
		s := viewer.Seat{Key: viewer.NewKey(), Role: role, Name: name}
		if i := slices.IndexFunc(old, func(o keptLink) bool { return o.Role == role && o.Name == name && o.Key != "" }); i >= 0 {
			s.Key = old[i].Key
		}
		seats, kept = append(seats, s), append(kept, keptLink{s, "http://" + address + s.Path()})
	}
	put(bus.Controller, "controller")
	for i, p := range players {
		if strings.TrimSpace(p) == "" || slices.Contains(players[:i], p) {
			return nil, badInput("--player %q: give each player a name of its own", p)
		}
		put(bus.Player, p)
	}
	put(bus.Evaluator, "evaluator")
	put(bus.Observer, "observer")
	data, err := json.MarshalIndent(kept, "", "  ")
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(file, append(data, '\n'), 0o600); err != nil {
		return nil, badInput("the links cannot be kept: %v", reason(err))
	}
	return seats, nil
}

// link is one link of the ready line.
type link struct {
	Role bus.Role `json:"role"`
	Name string   `json:"name"`
	URL  string   `json:"url"`
}

// ready says that the drill is there: the links, the controller's first.
func (f *drillFlags) ready(c *cobra.Command, address, run string, seats []viewer.Seat, log zerolog.Logger) error {
	var links []link
	for _, s := range seats {
		links = append(links, link{s.Role, s.Name, "http://" + address + s.Path()})
	}
	if f.json {
		line, err := json.Marshal(struct {
			Run   string `json:"run"`
			State string `json:"state"`
			Links []link `json:"links"`
		}{run, f.state, links})
		if err != nil {
			return err
		}
		fmt.Fprintf(c.OutOrStdout(), "%s\n", line)
	} else {
		fmt.Fprintf(c.OutOrStdout(), "EXERCISE ready: %s (controller; these links are kept in %s)\n", links[0].URL, filepath.Join(f.state, "links.json"))
		for _, l := range links[1:] {
			who := string(l.Role)
			if l.Name != who {
				who += ", " + l.Name
			}
			fmt.Fprintf(c.OutOrStdout(), "  %s (%s)\n", l.URL, who)
		}
	}
	if out, ok := c.OutOrStdout().(*os.File); ok && !f.noOpen && isatty.IsTerminal(out.Fd()) {
		if err := openPage(links[0].URL); err != nil {
			log.Info().Err(err).Msg("no browser was opened")
		}
	}
	return nil
}

// openPage opens an address in the browser, where there is one.
func openPage(url string) error {
	name := map[string]string{"darwin": "open", "windows": "explorer"}[runtime.GOOS]
	if name == "" {
		name = "xdg-open"
	}
	cmd := exec.Command(name, url)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }()
	return nil
}

// withHealth adds the two addresses by which a program is watched: /healthz answers
// while the program lives, /readyz while the drill can be played.
func withHealth(page http.Handler, h *drill.Host) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/", page)
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprintln(w, "alive") })
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, _ *http.Request) {
		switch s := h.Status(); {
		case !s.Ready:
			http.Error(w, "closing", http.StatusServiceUnavailable)
		case len(s.Broken) > 0:
			http.Error(w, "broken", http.StatusServiceUnavailable)
		default:
			fmt.Fprintln(w, "ready")
		}
	})
	return mux
}

// reason is an error without the system's own words for where it happened.
func reason(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}
