package geom

import (
	"math"
	"slices"
)

// A PlaceKey is the cell of the Hilbert curve that a point lies in, and below it
// the number of the point.
type PlaceKey uint64

// Number returns the number of the point.
func (k PlaceKey) Number() int32 { return int32(uint32(k)) }

// SameCell reports whether two points lie in one cell.
func (k PlaceKey) SameCell(l PlaceKey) bool { return k>>32 == l>>32 }

// PlaceKeys returns the keys of the points in their order along a Hilbert curve:
// what is near in the plane is mostly near in this order, so that work done in it
// stays in the processor's cache. Points of one cell of the curve keep their
// order.
func PlaceKeys(points []Point) []PlaceKey {
	return placeKeys(len(points), func(i int) Point { return points[i] })
}

func placeKeys(n int, at func(i int) Point) []PlaceKey {
	all := EmptyBox()
	for i := range n {
		all = all.Extend(at(i))
	}
	size := math.Max(all.Width(), all.Height())
	scale := 0.0
	if size > 0 {
		scale = (1<<hilbertBits - 1) / size
	}
	room := n // twice where sorting needs scratch
	if n > fewKeys {
		room = 2 * n
	}
	keys := make([]PlaceKey, n, room)
	for i := range keys {
		p := at(i)
		keys[i] = PlaceKey(hilbert(uint32((p.X-all.Min.X)*scale), uint32((p.Y-all.Min.Y)*scale)))<<32 | PlaceKey(i)
	}
	return sortByPlace(keys)
}

// fewKeys is the number of keys up to which comparing them is faster than
// counting their digits.
const fewKeys = 128

// sortByPlace sorts keys by their upper half; their lower halves ascend already.
// It counts digits of eight bits, lowest first: each round is stable and linear.
// The spare capacity of keys is its scratch.
func sortByPlace(keys []PlaceKey) []PlaceKey {
	n := len(keys)
	if n <= fewKeys || cap(keys) < 2*n {
		slices.Sort(keys)
		return keys
	}
	var counts [4][256]uint32
	for _, k := range keys {
		counts[0][uint8(k>>32)]++
		counts[1][uint8(k>>40)]++
		counts[2][uint8(k>>48)]++
		counts[3][uint8(k>>56)]++
	}
	to := keys[n : 2*n]
	for round := range counts {
		at, shift := &counts[round], 32+8*round
		if at[uint8(keys[0]>>shift)] == uint32(n) {
			continue // they all have the same digit
		}
		sum := uint32(0)
		for d, c := range at {
			at[d], sum = sum, sum+c
		}
		for _, k := range keys {
			d := uint8(k >> shift)
			to[at[d]] = k
			at[d]++
		}
		keys, to = to, keys
	}
	return keys
}

// hilbertBits is the number of bits a coordinate has along the Hilbert curve,
// and hilbertStep how many of them one look-up takes.
const (
	hilbertBits = 16
	hilbertStep = 4
)

// A hilbertTurn is how the curve lies in a square: turned about the diagonal (1),
// about the centre (2), both or neither.
type hilbertTurn uint8

// next takes one bit of both coordinates in: it returns the two bits of the
// place along the curve, and how the curve lies in that quarter.
func (t hilbertTurn) next(x, y uint8) (place uint8, to hilbertTurn) {
	if t&1 != 0 {
		x, y = y, x
	}
	if t&2 != 0 {
		x, y = 1-x, 1-y
	}
	if y == 0 {
		t ^= 1
		if x == 1 {
			t ^= 2
		}
	}
	return 3*x ^ y, t
}

// hilbertPlaces holds for every turn and every four bits of x and y the eight
// bits of the place along the curve, and the turn behind them in the bits above.
var hilbertPlaces = func() (table [4 << (2 * hilbertStep)]uint16) {
	for i := range table {
		turn, place := hilbertTurn(i>>(2*hilbertStep)), uint16(0)
		for bit := hilbertStep - 1; bit >= 0; bit-- {
			var two uint8
			two, turn = turn.next(uint8(i>>(hilbertStep+bit)&1), uint8(i>>bit&1))
			place = place<<2 | uint16(two)
		}
		table[i] = uint16(turn)<<(2*hilbertStep) | place
	}
	return table
}()

// hilbert returns the number of a cell of a 2^16 square grid along the Hilbert
// curve (Hilbert, Über die stetige Abbildung einer Linie auf ein Flächenstück,
// 1891).
func hilbert(x, y uint32) uint32 {
	const mask = 1<<hilbertStep - 1
	var d, turn uint32
	for shift := hilbertBits - hilbertStep; shift >= 0; shift -= hilbertStep {
		v := uint32(hilbertPlaces[turn<<(2*hilbertStep)|x>>shift&mask<<hilbertStep|y>>shift&mask])
		d = d<<(2*hilbertStep) | v&(1<<(2*hilbertStep)-1)
		turn = v >> (2 * hilbertStep)
	}
	return d
}
