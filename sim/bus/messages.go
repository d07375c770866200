package bus

import "encoding/json"

// SpecVersion is the version of CloudEvents that envelopes follow.
const SpecVersion = "1.0"

// Envelope is a CloudEvent in structured mode (content type
// application/cloudevents+json). simtime and exercise are extension attributes.
type Envelope struct {
	SpecVersion     string `json:"specversion"`
	ID              string `json:"id"`     // unique within source
	Source          string `json:"source"` // "/millrace/<run>"
	Type            string `json:"type"`   // "millrace.page.update"; see asyncapi.yaml
	Time            string `json:"time"`   // wall clock, RFC 3339
	Subject         string `json:"subject,omitempty"`
	DataContentType string `json:"datacontenttype"` // application/json
	// SimTime is the simulated time, ISO 8601 local to the works.
	SimTime string `json:"simtime"`
	// Exercise is true on every message of a drill.
	Exercise bool            `json:"exercise"`
	Data     json.RawMessage `json:"data"`
}

// Types of events, the Type of an Envelope.
const (
	TypeRecord   = "millrace.record." // + the record's kind: move, state, upset ...
	TypeUpdate   = "millrace.page.update"
	TypeSnapshot = "millrace.page.snapshot"
	TypeCut      = "millrace.page.cut"
	TypeForecast = "millrace.page.forecast"
	TypeTold     = "millrace.page.told"
	TypeLog      = "millrace.page.log"
	TypeCall     = "millrace.page.call"
	TypeReply    = "millrace.control.reply"
	TypeStatus   = "millrace.control.status"
	TypeAction   = "millrace.action." // + the action's kind
)

// Role is what a person is in a drill (words of open exercise doctrine).
type Role string

// The roles.
const (
	Controller Role = "controller"
	Player     Role = "player"
	Evaluator  Role = "evaluator"
	Observer   Role = "observer"
)

// Roles lists the roles.
var Roles = []Role{Controller, Player, Evaluator, Observer}

// Audience says who a message is for.
type Audience string

// The audiences.
const (
	ForAll        Audience = "page"       // every role
	ForStaff      Audience = "staff"      // controller and evaluators
	ForController Audience = "controller" // the controller alone
)

// ForPlayer is the audience of one player: what is said to nobody else but staff.
func ForPlayer(name string) Audience { return Audience("player-" + Token(name)) }

// SeatAudiences lists the audiences whose messages a person takes: those of the role, and
// for a player the own one, the last.
func SeatAudiences(r Role, name string) []Audience {
	out := r.Audiences()
	if r == Player {
		out = append(out, ForPlayer(name))
	}
	return out
}

// Audiences lists the audiences whose messages a role takes. The forecast with
// the script is for the controller alone; evaluators see causes and injects.
func (r Role) Audiences() []Audience {
	switch r {
	case Controller:
		return []Audience{ForAll, ForStaff, ForController}
	case Evaluator:
		return []Audience{ForAll, ForStaff}
	}
	return []Audience{ForAll}
}

// Head begins the data of every message to pages. Times called t, at or since are
// seconds of simulated time from the start of the run.
type Head struct {
	Epoch int     `json:"ep"` // rises at every rewind, branch and restart of the program
	Q     uint64  `json:"q"`  // number within epoch and audience, from 1
	T     float64 `json:"t"`
	Flags Flags   `json:"flags"`
	// Exercise is ExerciseOff after the stop word until the controller has confirmed that
	// the drill goes on; "" otherwise.
	Exercise string `json:"exercise,omitempty"`
}

// ExerciseOff is Head.Exercise while a real emergency is on.
const ExerciseOff = "off"

// Flags are what every page must show all the time.
type Flags struct {
	Exercise  bool `json:"exercise"`  // show EXERCISE
	Held      bool `json:"held"`      // time stands
	Emergency bool `json:"emergency"` // the stop word was given: a real emergency, the drill is off
	Ended     bool `json:"ended"`     // the scenario's length has been played
}

// Exercise is the word on every screen of a drill.
const Exercise = "EXERCISE"

// StopWord is what anybody says for a real emergency.
const StopWord = "stop: real emergency"

// Clock says how time runs.
type Clock struct {
	Start  string  `json:"start"`  // ISO 8601, clock time of t = 0
	Length float64 `json:"length"` // s to be played
	Pace   float64 `json:"pace"`   // simulated minutes a wall second; kept while held
	Held   bool    `json:"held"`
	Branch string  `json:"branch"` // "A", then "B" after the first rewind ...
}

// Kinds of row.
const (
	RowUnit  = "unit"
	RowStore = "store"
)

// Row is one line of the route, from iron to dispatch. A page may fold rows of one
// group into one line, "worst of n".
type Row struct {
	I     int     `json:"i"`
	ID    string  `json:"id"` // "slab-yard", unique
	Kind  string  `json:"kind"`
	Name  string  `json:"name"` // "slab yard"
	Area  string  `json:"area"`
	Group string  `json:"group,omitempty"` // "casters", "furnaces", "slab cranes", "coilers", "rolling line"
	UOM   string  `json:"uom"`             // "t", "heats", "coils", "GJ"; of units "t/h", or "%" of the time at work
	Cap   float64 `json:"cap"`             // room of a store; for a unit the highest rate of a quiet day, or 100 %
	// Low, Normal and High are the normal band of a store; all zero for none.
	Low    float64 `json:"low,omitempty"`
	Normal float64 `json:"normal,omitempty"`
	High   float64 `json:"high,omitempty"`
	// Full and Dry say what the end of a store stops; "" where it stops nothing.
	Full string `json:"full,omitempty"`
	Dry  string `json:"dry,omitempty"`
	// Standby: a unit that a quiet day does not use; that it waits is no news, and its
	// state is then "running".
	Standby bool `json:"standby,omitempty"`
	// RateGiven: the works file gives a measured rate in place of physics.
	RateGiven bool `json:"rate_given,omitempty"`
}

// States of a row, RowState.S: of a unit and of a store.
const (
	UnitRunning     = 0
	UnitSlowed      = 1
	UnitDown        = 2
	UnitBlocked     = 3
	UnitStarved     = 4
	UnitChangeover  = 5
	UnitMaintenance = 6
	UnitOffShift    = 7

	StoreBetween = 0
	StoreFull    = 1
	StoreDry     = 2
)

// UnitStates and StoreStates are the words for the states, in order of number.
var (
	UnitStates  = []string{"running", "slowed", "down", "blocked", "starved", "changeover", "maintenance", "off shift"}
	StoreStates = []string{"between", "full", "dry"}
)

// RowState is how a row is now. A unit's value is its rate over the last minutes
// (ten; thirty of a caster, sixty of the steel shop); a store's its level. Gaps between pieces are no state of their
// own: a unit is starved or blocked when it worked for less than a quarter of what it
// does in such a while of a quiet day.
type RowState struct {
	I     int     `json:"i"`
	V     float64 `json:"v"`
	S     int     `json:"s"`
	Since float64 `json:"since"`
}

// Cost is money since the start, in the works' currency, costs positive. SoFar is
// against the same future without upsets of the script and injects, under
// standing orders; Nothing is what the same upsets cost when nobody orders
// anything.
type Cost struct {
	Currency string  `json:"currency"`
	SoFar    float64 `json:"so_far"`
	PerHour  float64 `json:"per_hour"` // over the last hour
	// Rate is EUR (the currency's) an hour now: what SoFar grew by in the last ten full
	// minutes, times six; 0 before there are ten.
	Rate    float64 `json:"rate"`
	Nothing float64 `json:"nothing"`
	// Lines are SoFar by heading.
	Lines []CostLine `json:"lines,omitempty"`
}

// CostLine is one heading of a cost.
type CostLine struct {
	Name   string  `json:"name"`
	Amount float64 `json:"amount"`
}

// Update is what has changed since the last one: up to twenty a wall second,
// at least two (the beat by which a page knows that the line is alive). Rows that
// are not listed are as they were.
type Update struct {
	Head
	Pace float64    `json:"pace"`
	Rows []RowState `json:"rows"`
	// Cost, Stops, Settings and Heats come together, at most once a wall second; a list
	// that is left out is as it was, an empty one is empty.
	Cost     *Cost      `json:"cost,omitempty"`
	Stops    *[]Stop    `json:"stops,omitempty"`
	Settings *[]Setting `json:"settings,omitempty"`
	Heats    *[]Heat    `json:"heats,omitempty"`
	// Past holds the full minutes since the last update that held some, without hours:
	// the same points that a snapshot's history has, at most 48 h of them.
	Past *History `json:"past,omitempty"`
	// Ahead says how old the forecast is that pages have, after a change.
	Ahead *Ahead `json:"ahead,omitempty"`
	// On staff only, with Stops whose Kind is known: after a change.
	ToCome *[]ToCome `json:"to_come,omitempty"`
	Marks  *[]Mark   `json:"marks,omitempty"`
	// Planned comes with Settings, to everybody; Branches on staff only, with Marks.
	Planned  *[]Planned `json:"planned,omitempty"`
	Branches *[]Branch  `json:"branches,omitempty"`
	// Waits, Flows and Temps come together when one of them has changed, at most once a
	// wall second.
	Waits *[]Wait `json:"waits,omitempty"`
	Flows *[]Flow `json:"flows,omitempty"`
	Temps *[]Temp `json:"temps,omitempty"`
}

// Planned is a planned stop: the next of each unit that is due within three days, and
// one that is being done now.
type Planned struct {
	Unit    string  `json:"unit"`
	Row     int     `json:"row"`
	At      float64 `json:"at"`            // s, when it begins or began
	Lasts   float64 `json:"lasts"`         // s
	Movable bool    `json:"movable"`       // "pull planned stop" can do it earlier
	Now     bool    `json:"now,omitempty"` // it is being done
}

// Wait is why a unit is blocked, starved, in changeover or slowed, or a furnace that works
// gives no slab, in the words of the trade; "until" and the clock may be said behind Why.
type Wait struct {
	Row int    `json:"row"`
	Why string `json:"why"`
	// Until is when that ends, s from the start, to the minute: as the works knows it, or
	// with Told only as people were told; null where nobody can say.
	Until *float64 `json:"until"`
	Told  bool     `json:"told,omitempty"`
	// Call is the ID of the call of the stop behind it, "" for none.
	Call string `json:"call,omitempty"`
}

// Flow is what a store took and gave over one while, the last full minutes, in its unit of
// measure: In less Out is Rise.
type Flow struct {
	Row  int     `json:"row"`
	In   float64 `json:"in"`
	Out  float64 `json:"out"`
	Rise float64 `json:"rise"`
	Over float64 `json:"over"` // s; an hour, less right after the start
}

// Temp is a temperature that people at the row would ask for.
type Temp struct {
	Row  int     `json:"row"`
	What string  `json:"what"` // "last slab drawn", "hottest coil on the floor"
	C    float64 `json:"c"`    // mean over the section, degrees Celsius
	// At is when it was so, s from the start; null for now. Need is what is asked for, 0
	// for nothing.
	At   *float64 `json:"at"`
	Need float64  `json:"need,omitempty"`
}

// Branch is a branch that was left by going back: what it had cost at the moment At at
// which it was left, and what was ordered in it.
type Branch struct {
	Name string `json:"name"`
	// From is where it forked off: the start, or the moment gone back to.
	From      float64       `json:"from"`
	At        float64       `json:"at"`
	CostSoFar float64       `json:"cost_so_far"`
	CostLine  []float64     `json:"cost_line"` // so far at each full hour from t = 0
	Orders    []BranchOrder `json:"orders"`    // from t = 0, those refused too
}

// BranchOrder is one order of a branch.
type BranchOrder struct {
	Tag  string  `json:"tag"`
	At   float64 `json:"at"`
	By   string  `json:"by"`
	Text string  `json:"text"`
}

// Ahead is how the last forecast from what people were told stands to now. Made is the
// simulated time it was made for, null before the first; Old says that this is not
// now; Coming that one for now is being made.
type Ahead struct {
	Made   *float64 `json:"made"`
	Old    bool     `json:"old"`
	Coming bool     `json:"coming"`
}

// Heat is a ladle of liquid steel on its way.
type Heat struct {
	Number int32   `json:"number"`
	Caster string  `json:"caster"`
	Stage  string  `json:"stage"`   // in treatment, waiting, at the reheat stand, open
	AboveK float64 `json:"above_k"` // K above liquidus now
	// OpenBy is the last moment to open it, s; null when open.
	OpenBy *float64 `json:"open_by"`
}

// SnapshotRequest asks for the whole picture on the subject of an audience.
type SnapshotRequest struct {
	// Hours of history wanted, by the minute; 0 for four, at most 48.
	Hours float64 `json:"hours,omitempty"`
}

// Snapshot is the whole picture for an audience. Q is the number of the last
// message it contains.
type Snapshot struct {
	Head
	// Qs are the numbers of the last message of each audience that it contains. A
	// snapshot for staff or controller holds all that page has too.
	Qs       map[Audience]uint64 `json:"qs"`
	Run      string              `json:"run"`
	Works    string              `json:"works"`
	Invented bool                `json:"invented"` // the works is invented and every page says so
	Scenario string              `json:"scenario"` // its title; for players and observers one that gives nothing away
	Notice   string              `json:"notice"`   // what the program is for and not for
	StopWord string              `json:"stop_word"`
	Clock    Clock               `json:"clock"`

	Route   []Row      `json:"route"`
	Rows    []RowState `json:"rows"` // every row, in order
	History History    `json:"history"`
	Spans   [][]Span   `json:"spans"` // by row: how its state went from the start
	Cost    Cost       `json:"cost"`
	// CostLine is Cost.SoFar each hour from t = 0; NothingLine Cost.Nothing.
	CostLine    []float64 `json:"cost_line"`
	NothingLine []float64 `json:"nothing_line"`

	Stops     []Stop    `json:"stops"`     // upsets that people know of and that last
	Calls     []Call    `json:"calls"`     // open ones, and those closed in the last hour
	Log       []LogLine `json:"log"`       // all, oldest first
	Told      []Told    `json:"told"`      // messages, and words on stops that last; oldest first
	Marks     []Mark    `json:"marks"`     // points to go back to; staff only
	ToCome    []ToCome  `json:"to_come"`   // injects to come; staff only
	Levers    []Lever   `json:"levers"`    // what players can do
	Catalogue []Upset   `json:"catalogue"` // what a controller can make happen; controller only
	Settings  []Setting `json:"settings"`  // what is ordered now
	Heats     []Heat    `json:"heats"`     // heats in flight, for orders on one
	Planned   []Planned `json:"planned"`
	Branches  []Branch  `json:"branches"` // branches that were left; staff only
	Waits     []Wait    `json:"waits"`
	Flows     []Flow    `json:"flows"`
	Temps     []Temp    `json:"temps"`
	// Forecast is the last one from what people were told, the same for every audience,
	// nil before the first. ScriptForecast is the last one with the script: the
	// controller's only, to be shown when asked for.
	Forecast       *Forecast `json:"forecast,omitempty"`
	ScriptForecast *Forecast `json:"script_forecast,omitempty"`
	Ahead          Ahead     `json:"ahead"`
	// Digest is that of all records so far, 16 hexadecimal digits; Events their number.
	Digest string `json:"digest"`
	Events uint64 `json:"events"`
}

// History is the recent past by step and the whole by the hour. V[row] holds a
// value for each step from From on, in thousandths of the row's Cap: the first as
// it is, each later one as the difference from the one before.
type History struct {
	Step float64 `json:"step"` // s, 60
	From float64 `json:"from"` // s, time of the first value
	V    [][]int `json:"v"`
	// Hour[row] holds the same for each full hour from t = 0.
	Hour [][]int `json:"hour"`
}

// Span is a state that a row took at a time and kept until the next span.
type Span struct {
	At float64 `json:"at"`
	S  int     `json:"s"`
}

// Stop is what people know of an upset that lasts. Kind and Caution are those of
// the upset once people have heard what it is; before that, and always on the
// audience page, Kind is "" and Caution the general one.
type Stop struct {
	N       int     `json:"n"`
	Row     int     `json:"row"`
	Unit    string  `json:"unit"`
	Kind    string  `json:"kind"`
	Caution string  `json:"caution"`
	Began   float64 `json:"began"`
	// Told ends of the stop, s; null before the first word.
	Low    *float64 `json:"low"`
	Likely *float64 `json:"likely"`
	Bad    *float64 `json:"bad"`
	// NextWord is when people hear more, null when nothing is promised.
	NextWord *float64 `json:"next_word"`
}

// Told is a word that people were given: on the end of a stop (Stop >= 0, with
// Low, Likely and Bad), or a message in words from the controller.
type Told struct {
	Head
	N      int      `json:"n"` // counts words from 1
	Stop   int      `json:"stop"`
	Row    int      `json:"row"` // -1 for none
	To     string   `json:"to"`  // whom: "all", "staff", or the name of one player; others are not sent it
	From   string   `json:"from"`
	Text   string   `json:"text"`
	At     float64  `json:"at"`
	Clock  string   `json:"clock"` // ISO 8601
	Low    *float64 `json:"low,omitempty"`
	Likely *float64 `json:"likely,omitempty"`
	Bad    *float64 `json:"bad,omitempty"`
	// Over: the stop is over, and what was told of it holds no more. The word is then
	// sent once more with this set; the log keeps it.
	Over bool `json:"over,omitempty"`
}

// What a line of the log is.
const (
	LogInject = "inject" // tag I1, I2 ...
	LogAction = "action" // tag A1, A2 ...
	LogNote   = "note"   // tag N1, N2 ...
	LogWorks  = "works"  // what the works did, in the words of a shift log
	LogDrill  = "drill"  // held, pace, branch ...
)

// LogLine is one line of what was done and what happened.
type LogLine struct {
	Head
	N     int     `json:"n"` // counts lines of the audience it was sent to, from 1
	Tag   string  `json:"tag,omitempty"`
	What  string  `json:"what"`
	At    float64 `json:"at"`
	Clock string  `json:"clock"`
	Row   int     `json:"row"` // -1 for none
	By    string  `json:"by,omitempty"`
	Text  string  `json:"text"`
	// Branch is set on a note that was written in another branch, behind the point from
	// which this one goes on: At may lie ahead of now.
	Branch string `json:"branch,omitempty"`
}

// Call asks people to act. There is one for each cause; what the cause does to
// other units and stores is folded beneath it. A call is sent again, whole, when it
// changes. On staff the same call comes with its cause and takes the place of that
// of page.
type Call struct {
	Head
	ID    string  `json:"id"`
	Row   int     `json:"row"`
	Unit  string  `json:"unit"`
	Cause string  `json:"cause"` // kind of upset; "not yet known why" for those who cannot know
	Text  string  `json:"text"`
	Since float64 `json:"since"`
	// Caution must be read and acknowledged before people are sent in.
	Caution string   `json:"caution"`
	Acked   []Ack    `json:"acked"`
	Effects []Effect `json:"effects"`
	Closed  bool     `json:"closed"`
	At      float64  `json:"closed_at,omitempty"`
	// Rate is how many calls were raised in the last ten minutes of simulated time.
	Rate int `json:"rate"`
}

// Ack is an acknowledgement of a caution.
type Ack struct {
	By   string  `json:"by"`
	Role Role    `json:"role"`
	At   float64 `json:"at"`
}

// Effect is a unit or store that a cause holds up.
type Effect struct {
	Row   int     `json:"row"`
	Name  string  `json:"name"`
	State string  `json:"state"` // blocked, starved, full, dry
	Since float64 `json:"since"`
}

// What a forecast is made from.
const (
	BasisTold   = "told"   // what people were told; nothing to come is in it
	BasisScript = "script" // also the injects to come and true ends; controller only
)

// Forecast is what N futures, copied from now with new luck, show: standing orders
// and orders already given act, nobody orders more. T is the simulated time it was made
// for; Old says that this was not now when it was sent.
type Forecast struct {
	Head
	N       int     `json:"n"`       // futures
	Basis   string  `json:"basis"`   // told or script
	Horizon float64 `json:"horizon"` // s ahead, 8, 24, 48 or 120 h: the least that reaches a trouble
	After   string  `json:"after"`   // what made it: "time", "order", "inject", "word", "rewind", "hold", "try"
	Cell    float64 `json:"cell"`    // s, width of a cell of Stand
	Step    float64 `json:"step"`    // s between points of paths and bill

	Old bool `json:"old"`
	// Script says that the basis is the script: for the controller alone, and only when
	// asked for.
	Script bool `json:"script"`

	// Now lists what stands, and what is full or dry, at T; it is never "nothing likely"
	// while this is not empty.
	Now []Standing `json:"now"`
	// Ranked are the first few troubles up to RankedTo s ahead, which is further than
	// Horizon: what comes after the nearest one too. What is there already comes first,
	// then what some future reaches within the hour, then by likely time.
	Ranked   []Trouble `json:"ranked"`
	RankedTo float64   `json:"ranked_to"`

	Ends  []End   `json:"ends"`  // every end of a store that some future reaches, nearest first
	Backs []Back  `json:"backs"` // when units that stand come back
	Stand []Stand `json:"stand"`
	Stood Stood   `json:"stood"`
	Paths []Path  `json:"paths"`
	// Bill[k] is Cost.SoFar as future k goes on, each Step from now, 25 points.
	Bill [][]float64 `json:"bill"`

	// Moves and DecideBy are set in the answer to a question what an order would do. Moves
	// has every trouble that is ranked without the order or with it, in the order of the
	// ranking without.
	Moves []Move `json:"moves,omitempty"`
	// DecideBy is the last moment, s from the start, for the lever to be worth pulling,
	// with the reason; null where there is none.
	DecideBy    *float64 `json:"decide_by,omitempty"`
	DecideByWhy string   `json:"decide_by_why,omitempty"`
}

// States of Standing.
const (
	StandFull        = "full"
	StandDry         = "dry"
	StandDown        = "down"
	StandMaintenance = "maintenance" // planned
)

// Standing is a unit that stands or a store that is full or dry.
type Standing struct {
	Row   int     `json:"row"`
	What  string  `json:"what"`  // name of the row
	State string  `json:"state"` // full, dry, down, maintenance
	Since float64 `json:"since"` // s from the start
	// ToldLikely is when it is back, s from the start: as was last told of a stop, or by
	// the plan.
	ToldLikely *float64 `json:"told_likely,omitempty"`
}

// Reach is when something comes about, s from now: in the soonest of the futures, in one
// of ten, in half and in nine of ten, null for not up to the end of the look; Share is in
// how large a part of the futures it does, 0 to 1.
type Reach struct {
	Soonest *float64 `json:"soonest"`
	Early   *float64 `json:"early"`
	Likely  *float64 `json:"likely"`
	Late    *float64 `json:"late"`
	Share   float64  `json:"share"`
}

// Move is what an order does to one trouble.
type Move struct {
	Row    int    `json:"row"`
	What   string `json:"what"` // "slab yard full"
	Before Reach  `json:"before"`
	After  Reach  `json:"after"`
}

// End is a store that runs full or dry: In holds, sorted, the seconds from now of
// each future that gets there; "16 of 20 runs" is len(In) of N.
type End struct {
	Row   int       `json:"row"`
	Name  string    `json:"name"`
	Full  bool      `json:"full"`
	Stops string    `json:"stops"` // what then
	In    []float64 `json:"in"`
	// Now: it is full or dry now.
	Now bool `json:"now"`
}

// Trouble is an end of a store as a ranked answer gives it: s from now by which it first
// comes in one of ten futures, in half and in nine of ten, null beyond RankedTo; Runs is in
// how many of N futures it comes at all. One that is there already is at 0 in all.
type Trouble struct {
	Row    int      `json:"row"`
	Name   string   `json:"name"`
	Full   bool     `json:"full"`
	Stops  string   `json:"stops"`
	Early  *float64 `json:"early"`
	Likely *float64 `json:"likely"`
	Late   *float64 `json:"late"`
	Runs   int      `json:"runs"`
	// Share is Runs of N, 0 to 1; Soonest when the first future gets there, s from now,
	// null when none does; Soon that this is within an hour.
	Share   float64  `json:"share"`
	Soonest *float64 `json:"soonest"`
	Soon    bool     `json:"soon,omitempty"`
	// Note says in a sentence why the times lie as they do where they would mislead: some
	// runs get there during a stop of now, the others at a later occasion.
	Note string `json:"note,omitempty"`
	Now  bool   `json:"now"` // it is there already
}

// Back is when a unit that stands comes back: In sorted, s from now, one for each
// future in which it does within the horizon.
type Back struct {
	Row  int       `json:"row"`
	Stop int       `json:"stop"`
	In   []float64 `json:"in"`
	// Told is the last word as it was said, null before the first; Restart what the
	// futures show now, however far they are played, with the share that is back by RankedTo; Why says in a sentence how they differ, "" before the first word.
	Told    *Word  `json:"told"`
	Restart Reach  `json:"restart"`
	Why     string `json:"why"`
}

// Word is what was said of the end of a stop: lengths, s, counted from the moment From.
type Word struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	Bad    float64 `json:"bad"`
	From   float64 `json:"from"` // s from the start
}

// Stand is in how many futures a unit stands (down, blocked or starved), cell by
// cell; S is the state most of them are in, -1 where none stands.
type Stand struct {
	Row int   `json:"row"`
	N   []int `json:"n"`
	S   []int `json:"s"`
}

// Stood is how many units stand (down, blocked or starved) at some moment of the next
// Within s, counted in the futures: in one of ten at most Low, in half at most Units, in
// nine of ten at most High.
type Stood struct {
	Within float64    `json:"within"` // s, 8 h
	Low    int        `json:"low"`
	Units  int        `json:"units"`
	High   int        `json:"high"`
	Rows   []StoodRow `json:"rows"` // units that stand in some future, most often first
}

// StoodRow is a unit and the part of the futures in which it stands.
type StoodRow struct {
	Row   int     `json:"row"`
	Share float64 `json:"share"`
}

// Path is the level of a store: V[k] is future k, 25 points each Step from now, in
// thousandths of Cap.
type Path struct {
	Row int     `json:"row"`
	V   [][]int `json:"v"`
}

// Cut says that the past was changed or the program came back: drop everything and
// ask for a snapshot. It is the first message of the new epoch.
type Cut struct {
	Head
	From   int    `json:"from"` // the epoch that ended
	Branch string `json:"branch"`
	Why    string `json:"why"`
}

// Mark is a point to go back to.
type Mark struct {
	Tag  string  `json:"tag"` // A3, I1; "start"
	At   float64 `json:"at"`
	Text string  `json:"text"`
	// Branch is set on a mark of a branch that was left, with Gone: it cannot be gone back
	// to from here.
	Branch string `json:"branch,omitempty"`
	Gone   bool   `json:"gone,omitempty"`
	Seq    uint64 `json:"-"` // of its action
}

// ToCome is an inject of the script that has not been given.
type ToCome struct {
	ID    string  `json:"id"` // "S1" ...
	At    float64 `json:"at"`
	Unit  string  `json:"unit"`
	Row   int     `json:"row"`
	Kind  string  `json:"kind"`
	What  string  `json:"what"`
	Held  bool    `json:"held"` // dropped: only given by hand
	Given bool    `json:"given"`
}

// Kinds of command.
const (
	CmdHold    = "hold"    // controller
	CmdResume  = "resume"  // controller; in an emergency it must be followed by confirm
	CmdConfirm = "confirm" // controller: the emergency is over, the drill goes on
	CmdRunTo   = "run_to"  // controller: on to the time To, or Until the next inject, then held
	CmdPace    = "pace"    // controller: Pace
	CmdStep    = "step"    // controller, held: Minutes forward, then held again
	CmdOrder   = "order"   // player, controller (in a player's place: As)
	CmdInject  = "inject"  // controller: Inject
	CmdAck     = "ack"     // all but observers: Call
	CmdRewind  = "rewind"  // controller: to Mark, or to To
	CmdNote    = "note"    // evaluator, controller: Text
	CmdStop    = "stop"    // anybody: the stop word; holds at once
	CmdAskHold = "askhold" // player: asks the controller for a hold
	CmdTry     = "try"     // on TrySubject: what would Order do? Nothing is ordered
)

// Command is something a person wants. Who it comes from is filled in by the page
// server from the session, never by the page.
type Command struct {
	// ID makes a repeat harmless: a command whose ID was carried out is answered as
	// then and not done again. 1 to 64 letters, digits and dashes.
	ID   string `json:"id"`
	Kind string `json:"kind"`
	By   string `json:"by"`
	Role Role   `json:"role"`
	As   string `json:"as,omitempty"` // controller acting in this player's place
	// Epoch is the one the person looked at; a command from another is refused. T
	// is the time of what they looked at, 0 for not known.
	Epoch int     `json:"ep"`
	T     float64 `json:"t,omitempty"`

	Pace    float64 `json:"pace,omitempty"`    // simulated minutes a wall second, above 0 to 600
	Minutes float64 `json:"minutes,omitempty"` // step
	Order   *Order  `json:"order,omitempty"`
	Inject  *Inject `json:"inject,omitempty"`
	Call    string  `json:"call,omitempty"`
	Mark    string  `json:"mark,omitempty"`
	To      float64 `json:"to,omitempty"` // rewind, run_to: s from the start
	// Until is NextInject for a run_to the moment of the next inject of the script, which
	// is given; Fast has it run as fast as it can instead of at the pace.
	Until string `json:"until,omitempty"`
	Fast  bool   `json:"fast,omitempty"`
	Text  string `json:"text,omitempty"`
}

// NextInject is Until of a command run_to.
const NextInject = "next inject"

// Order is a lever pulled. Amounts are as people write them.
type Order struct {
	Lever string `json:"lever"` // name of a Lever
	Unit  string `json:"unit,omitempty"`
	Heat  int32  `json:"heat,omitempty"`
	Value string `json:"value,omitempty"` // "0.70 m/min", "80 %", "2", "oldest first"
	Slabs int    `json:"slabs,omitempty"`
}

// What a controller does with an inject.
const (
	InjectUpset   = "upset"   // Upset of the catalogue on Unit, now
	InjectTell    = "tell"    // a word on the end of stop number Stop: Low, Likely, Bad from now
	InjectMessage = "message" // Text to people
	InjectGive    = "give"    // script inject ID, now
	InjectLater   = "later"   // script inject ID, Lasts later
	InjectDrop    = "drop"    // script inject ID, not by itself
)

// Inject is what a controller makes happen.
type Inject struct {
	What  string `json:"what"`
	ID    string `json:"id,omitempty"`
	Upset string `json:"upset,omitempty"`
	Unit  string `json:"unit,omitempty"`
	// Lasts is how long the upset really lasts, "3 h"; "" draws it from the works'
	// own law; no more than the longest of its row. For later: how much later.
	Lasts string `json:"lasts,omitempty"`
	Stop  int    `json:"stop,omitempty"`
	// Told lengths, "low 2 h, likely 4 h, bad 12 h", from now.
	Told string `json:"told,omitempty"`
	To   string `json:"to,omitempty"`
	From string `json:"from,omitempty"`
	Text string `json:"text,omitempty"`
}

// Reply answers a command. Why says what to do when it was not carried out.
type Reply struct {
	ID     string  `json:"id"`
	OK     bool    `json:"ok"`
	Why    string  `json:"why,omitempty"`
	Tag    string  `json:"tag,omitempty"` // A3: its line in the log
	Repeat bool    `json:"repeat,omitempty"`
	Epoch  int     `json:"ep"`
	T      float64 `json:"t"`
	Events uint64  `json:"events"` // events of the works handled before it
	// Caution is set when a caution must be acknowledged first, with its call.
	Caution string `json:"caution,omitempty"`
	Call    string `json:"call,omitempty"`
	// Confirm: the command waits for a confirm by the controller.
	Confirm bool `json:"confirm,omitempty"`
}

// Lever is one thing people can do, for making its form.
type Lever struct {
	Name  string   `json:"name"`
	What  string   `json:"what"`
	Costs string   `json:"costs"`
	Units []string `json:"units,omitempty"` // choose one
	Heat  bool     `json:"heat,omitempty"`  // needs the number of a heat
	// Value says what to write, "" for nothing; Example is one; Choices lists all
	// where they are few.
	Value   string   `json:"value,omitempty"`
	Example string   `json:"example,omitempty"`
	Choices []string `json:"choices,omitempty"`
	Slabs   bool     `json:"slabs,omitempty"`
	// SendsIn: people go to the machine; a caution comes first.
	SendsIn bool `json:"sends_in,omitempty"`
	// Due are the planned stops that it could pull forward, as they stand at the moment
	// of the snapshot; Update.Planned goes on from there.
	Due []Planned `json:"due,omitempty"`
}

// Upset is one kind of upset of the catalogue.
type Upset struct {
	Name    string   `json:"name"`
	What    string   `json:"what"`
	Caution string   `json:"caution"`
	Units   []string `json:"units"`
	Median  float64  `json:"median"` // s, of the law it is drawn from
}

// Setting is something that people have ordered or that is set now, in words.
type Setting struct {
	Name string `json:"name"`
	Now  string `json:"now"`
	// AsUsual: nothing else than the standing orders is in force.
	AsUsual bool `json:"as_usual"`
	// Lever is the lever that sets it, "" for several, with Unit where it needs one; Value
	// is the present value as one would write it in an Order, to open the form with.
	Lever string `json:"lever,omitempty"`
	Unit  string `json:"unit,omitempty"`
	Value string `json:"value,omitempty"`
	// DecideBy is the last moment for the lever, s from the start, where there is one.
	DecideBy    *float64 `json:"decide_by,omitempty"`
	DecideByWhy string   `json:"decide_by_why,omitempty"`
	// Due is when the planned stop that the lever pulls begins by itself.
	Due *float64 `json:"due,omitempty"`
}

// Action is one entry of the actions stream. The entries in order, with scenario,
// seed and future, rebuild the run.
type Action struct {
	Seq    uint64 `json:"seq"`    // counts from 1
	T      int64  `json:"t"`      // simulated time, microseconds
	Events uint64 `json:"events"` // events of the works handled before it
	Epoch  int    `json:"ep"`
	// Until is the time, microseconds, up to which time was allowed to run when this
	// was written: no page has seen more.
	Until int64   `json:"until"`
	Kind  string  `json:"kind"`
	ID    string  `json:"id,omitempty"` // of the command
	By    string  `json:"by,omitempty"`
	Role  Role    `json:"role,omitempty"`
	As    string  `json:"as,omitempty"`
	Tag   string  `json:"tag,omitempty"`
	Pace  float64 `json:"pace,omitempty"`
	// Begin is set on the first action.
	Begin  *Begin  `json:"begin,omitempty"`
	Order  *Order  `json:"order,omitempty"`
	Inject *Inject `json:"inject,omitempty"`
	Call   string  `json:"call,omitempty"`
	To     int64   `json:"to,omitempty"` // rewind, microseconds
	// ToSeq is the first action that a rewind to a mark undoes at the time To; 0 for all
	// of that time.
	ToSeq uint64 `json:"to_seq,omitempty"`
	// Notes are those that a rewind keeps from what it undoes.
	Notes  []Note `json:"notes,omitempty"`
	Branch string `json:"branch,omitempty"`
	Text   string `json:"text,omitempty"`
	// Target and Fast are of a run_to: "next inject", or "" for the time To.
	Target string `json:"target,omitempty"`
	Fast   bool   `json:"fast,omitempty"`
	// Left is the branch that a rewind leaves; Marks are its marks that the rewind undoes.
	Left  *Branch `json:"left,omitempty"`
	Marks []Mark  `json:"marks,omitempty"`
	// OK and Why are what the command was answered.
	OK  bool   `json:"ok"`
	Why string `json:"why,omitempty"`
}

// Note is a note of a branch that was left.
type Note struct {
	T      int64  `json:"t"` // simulated time, microseconds
	Tag    string `json:"tag"`
	By     string `json:"by"`
	Branch string `json:"branch"`
	Text   string `json:"text"`
}

// Kinds of action beside those of commands.
const (
	ActBegin  = "begin"  // the first
	ActAllow  = "allow"  // time may run to Until
	ActScript = "script" // a script inject's time came (Inject.ID)
	ActAgain  = "again"  // the program came back
)

// Begin says what a run was made from.
type Begin struct {
	Run      string `json:"run"`
	Scenario string `json:"scenario"`
	Inputs   string `json:"inputs"` // fingerprint of every file
	Version  string `json:"version"`
	Seed     uint64 `json:"seed"`
	Future   uint64 `json:"future"`
}

// Status is how a drill's program does.
type Status struct {
	Run      string   `json:"run"`
	Scenario string   `json:"scenario"`
	Works    string   `json:"works"`
	Version  string   `json:"version"`
	Epoch    int      `json:"ep"`
	T        float64  `json:"t"`
	Events   uint64   `json:"events"`
	Digest   string   `json:"digest"`
	Held     bool     `json:"held"`
	Ready    bool     `json:"ready"`
	Faults   []Fault  `json:"faults"` // never empty silently: pages show them
	Broken   []string `json:"broken"` // laws of the works that are broken; the drill then holds
}

// Fault is an error of the bus, counted.
type Fault struct {
	What  string `json:"what"`
	Count uint64 `json:"count"`
	Last  string `json:"last"` // wall time, RFC 3339
}

// Record is one record of the works (see sim/record), with the names of what its
// numbers mean. Fields that say nothing are left out.
type Record struct {
	T     int64  `json:"t"` // simulated time, microseconds
	Kind  string `json:"kind"`
	Mass  int64  `json:"mass,omitempty"` // g
	Piece int32  `json:"piece"`          // -1 for none
	From  int16  `json:"from"`           // -1 for none
	To    int16  `json:"to"`
	A     int32  `json:"a,omitempty"`
	B     int32  `json:"b,omitempty"`
	X     int64  `json:"x,omitempty"`
	Y     int64  `json:"y,omitempty"`
	Z     int64  `json:"z,omitempty"`

	FromPlace string `json:"from_place,omitempty"`
	ToPlace   string `json:"to_place,omitempty"`
	Unit      string `json:"unit,omitempty"`
	State     string `json:"state,omitempty"`
	Upset     string `json:"upset,omitempty"`
	Lever     string `json:"lever,omitempty"`
	Reason    string `json:"reason,omitempty"`
	// Text is the line of a shift log, where people would write one.
	Text string `json:"text,omitempty"`
}
