package record

import (
	"encoding/binary"
	"fmt"

	"github.com/cespare/xxhash/v2"
)

// eventBytes is the length of an event in the digest's encoding.
const eventBytes = 60

// Digest reduces a stream of events to 64 bits. Equal streams give equal
// digests, on every machine and however the stream was cut into batches. It is
// a plain value: a copy goes its own way.
type Digest struct {
	h     xxhash.Digest
	begun bool
	n     uint64
	buf   [64 * eventBytes]byte
}

// Put adds the events.
func (d *Digest) Put(events []Event) {
	if !d.begun {
		d.h.Reset()
		d.begun = true
	}
	d.n += uint64(len(events))
	fill := 0
	for i := range events {
		encode(d.buf[fill:fill+eventBytes:fill+eventBytes], &events[i])
		fill += eventBytes
		if fill == len(d.buf) {
			d.h.Write(d.buf[:])
			fill = 0
		}
	}
	if fill > 0 {
		d.h.Write(d.buf[:fill])
	}
}

func encode(b []byte, e *Event) {
	le := binary.LittleEndian
	le.PutUint64(b[0:], uint64(e.T))
	le.PutUint64(b[8:], uint64(e.Mass))
	le.PutUint64(b[16:], uint64(e.X))
	le.PutUint64(b[24:], uint64(e.Y))
	le.PutUint64(b[32:], uint64(e.Z))
	le.PutUint32(b[40:], uint32(e.Piece))
	le.PutUint32(b[44:], uint32(e.A))
	le.PutUint32(b[48:], uint32(e.B))
	le.PutUint16(b[52:], uint16(e.From))
	le.PutUint16(b[54:], uint16(e.To))
	le.PutUint32(b[56:], uint32(e.Kind))
}

// Count returns the number of events taken.
func (d *Digest) Count() uint64 { return d.n }

// Sum returns the digest of the events so far.
func (d *Digest) Sum() uint64 {
	h := d.h
	if !d.begun {
		h.Reset()
	}
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], d.n)
	h.Write(b[:])
	return h.Sum64()
}

// String returns the digest as 16 hexadecimal digits.
func (d *Digest) String() string { return fmt.Sprintf("%016x", d.Sum()) }
