package works

import "millrace/sim/record"

// Steps of the route, the A of a Move.
const (
	stepOpening int32 = iota
	stepIron
	stepPooled
	stepCharge
	stepTap
	stepOpen
	stepSkull
	stepCut
	stepUnload
	stepCharge2
	stepHearth
	stepScale
	stepDraw
	stepRough
	stepDelay
	stepShear
	stepTrain
	stepCoil
	stepStrip
	stepYard
	stepTaken
	stepGone
	stepReturn
	stepLost
	stepBack
	stepHaul
	stepCold
	stepOutside
)

// StepGone is the step of a coil that leaves: B is its product, X is not zero
// when it is secondary.
const StepGone = stepGone

// StepHaul is the step of a slab moved between yard and overflow yard.
const StepHaul = stepHaul

// StepOutside is the step of a coil sent outside to be pickled.
const StepOutside = stepOutside

// StepCool is the word that a coil has cooled.
const StepCool = WordCool

// StepOpening is the step of what was there at the start.
const StepOpening = stepOpening

// Word is what a Note says.
type Word int32

// The notes.
const (
	WordGas          Word = iota + 1 // X kJ burned, Y kJ flared, Z kJ bought since the last
	WordReheat                       // heat to the reheat stand, X tenths C
	WordReheated                     // heat from the reheat stand, Y time held
	WordReturned                     // X grams poured back, Y reason
	WordDiverted                     // heat given to caster From
	WordSpeed                        // caster From casts at X mm/min
	WordSequence                     // caster From opens sequence X
	WordSequenceEnds                 // sequence X ends; Y 1 when nobody planned it
	WordTundish                      // a tundish is used up
	WordOpened                       // heat opened, X tenths K above liquidus
	WordCharged                      // slab charged at X tenths C, Y grams
	WordDrawn                        // slab drawn at X tenths C, Y grams
	WordSetBack                      // furnace From is X K below its set-point
	WordRejected                     // bar too cold or too late, X grams
	WordCobbled                      // strip lost, X grams
	WordSlabBack                     // slab back to the yard, X grams
	WordScrapped                     // piece lost, X grams
	WordDowngraded                   // X grams will be sold as secondary
	WordRolls                        // rolls changed after X coils
	WordCool                         // coil cool, X grams, Y product
	WordWind                         // wind at X per mille
	WordPlanned                      // planned stop begins
	WordPlannedOver                  // planned stop ends
	WordPulled                       // planned stop pulled forward
	WordStorage                      // store X is Y (1 full, 0 no longer)
	WordLooperOut                    // the entry looper is empty, strip stands in the acid
	WordFans                         // fans or water on the coil floor by standing orders, X 1 on, 0 off
	NWords
)

var words = [NWords]string{
	"", "fuel gas", "to the reheat stand", "from the reheat stand", "returned", "diverted", "casting speed", "sequence opened", "sequence ended",
	"tundish used", "ladle opened", "charged", "drawn", "set back", "bar rejected", "cobbled", "slab back to the yard", "scrapped", "downgraded",
	"rolls changed", "coil cool", "wind", "planned stop", "planned stop over", "planned stop pulled forward", "store full", "looper empty", "fans",
}

// String returns the note in words.
func (w Word) String() string {
	if w >= 0 && w < NWords {
		return words[w]
	}
	return "unknown"
}

// LevelGas is the A of a Level record of the gas holder, X kJ.
const LevelGas = 1

// emitLevel records the level of something that is not steel.
func (w *Works) emitLevel(which int32, kJ int64) {
	w.emit(record.Event{Kind: record.Level, A: which, X: kJ, From: record.Nowhere, To: record.Nowhere, Piece: -1})
}
