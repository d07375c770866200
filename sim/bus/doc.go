// Package bus carries a run to whoever watches it, and what people do about it
// back, over NATS.
//
// # Subjects
//
//	millrace.<run>.<area>.<unit>.<event>          one record (Record), as it happens
//	millrace.<run>.drill.<audience>.<what>        what pages show: update, forecast, log, told, call, cut
//	millrace.<run>.drill.<audience>.snapshot      request: the whole picture (Snapshot)
//	millrace.<run>.drill.control.command          request: a Command, answered by a Reply
//	millrace.<run>.drill.control.try              request: an order to look ahead with, answered by a Forecast
//	millrace.<run>.drill.control.status           request: a Status
//	millrace.<run>.drill.actions.<what>           the stream that rebuilds the run (Action)
//
// An audience is one of page (everybody), staff (controller and evaluators) and
// controller. A reader takes the subjects of its audiences and nothing else: what
// players must not know is never sent on page. Messages of the three audiences
// have the same types.
//
// # Envelope
//
// Every message is a CloudEvent 1.0 in structured mode (Envelope); its data is one
// of the types of this package. Requests are plain JSON without envelope; replies
// have one.
//
// # Order and loss
//
// Messages of one audience carry an epoch and a number (Head.Epoch, Head.Q) that
// rises by one within the epoch. A reader that sees a gap, or a new epoch, asks
// for a snapshot and goes on with the messages behind Snapshot.Q. A core
// subscription may lose messages when its reader is slow; it is for watching and
// never the record of a run. The record is the actions stream: with the scenario,
// seed and future it rebuilds every state of the drill.
//
// asyncapi.yaml in this folder describes all of it; a test holds what is really
// sent against it.
package bus
