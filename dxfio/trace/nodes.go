package trace

import (
	"math"
	"math/bits"

	"trueup/dxfio/geom"
)

// coincident is the distance in mm up to which ends are one point as drawn, and
// no repair: the rounding of coordinates that an inch drawing writes with four
// decimals, 0.0001 in x sqrt 2 = 0.0036 mm.
const coincident = 0.004

// nodeCell is the side of a hash cell in mm: wide against coincident, so that
// few look-ups need a neighbouring cell, and narrow against a template.
const nodeCell = 0.25

// nodeTable numbers points: points within a tolerance of each other share a
// number. A hash of cells finds them in constant time.
type nodeTable struct {
	pos   []geom.Point
	next  []int32     // 1 + the node behind this one in the same hash slot
	slots []int32     // 1 + the latest node of the slot
	block uint        // cells that agree but for so many low bits have their slots side by side
	near  []nearPair  // different nodes within coincident of each other
	last  [4]struct { // put last: neighbours mostly end where one of these did
		p geom.Point
		n int32
	}
	puts  int
	looks int  // nodes looked at
	moved bool // a point was put to a node that is not quite its place
}

// nearPair is two nodes that are one as drawn.
type nearPair struct {
	a, b int32
	d    float64
}

func newNodeTable(expect int) *nodeTable {
	size := 16
	for size < 2*expect {
		size *= 2
	}
	links := make([]int32, size+expect)
	return &nodeTable{pos: make([]geom.Point, 0, expect), next: links[size:size], slots: links[:size:size]}
}

func (t *nodeTable) slot(ix, iy int64) int {
	h := mix(ix, iy)
	if t.block > 0 {
		h = mix(ix>>t.block, iy>>t.block)&^(blockSlots-1) | h&(blockSlots-1)
	}
	return int(h & uint64(len(t.slots)-1))
}

func mix(ix, iy int64) uint64 {
	h := uint64(ix)*0x9E3779B97F4A7C15 ^ uint64(iy)*0xC2B2AE3D27D4EB4F
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	return h >> 32
}

// blockSlots is the number of slots that lie side by side for a block of cells:
// four lines of a processor's cache. Blocks are made large enough for
// blockCurves curves on the average, and only where a drawing has manyCurves:
// the slots of fewer stay in the cache anyway.
const (
	blockSlots  = 64
	blockCurves = 8
	manyCurves  = 1 << 14
)

// setBlocks fits the blocks to curves with these middles, of which keys are the
// places: how many cells of the Hilbert curve of each size hold a curve is told by
// the highest bit in which neighbours differ.
func (t *nodeTable) setBlocks(middles []geom.Point, keys []geom.PlaceKey) {
	if len(keys) < manyCurves {
		return
	}
	var differ [33]int
	for i := 1; i < len(keys); i++ {
		differ[bits.LeadingZeros64(uint64(keys[i]^keys[i-1]))/2]++
	}
	box := geom.EmptyBox()
	for _, p := range middles {
		box = box.Extend(p)
	}
	side := math.Max(box.Width(), box.Height())
	for level, blocks := 0, 1; level < len(differ) && blocks*blockCurves < len(keys); level++ {
		blocks += differ[level]
		side /= 2
	}
	t.block = uint(max(0, math.Ilogb(2*side/nodeCell)))
}

// around calls visit for every node that may lie within reach (at most half a
// cell) of p.
func (t *nodeTable) around(p geom.Point, reach float64, visit func(n int32)) {
	x0, x1 := int64(math.Floor((p.X-reach)/nodeCell)), int64(math.Floor((p.X+reach)/nodeCell))
	y0, y1 := int64(math.Floor((p.Y-reach)/nodeCell)), int64(math.Floor((p.Y+reach)/nodeCell))
	for ix := x0; ix <= x1; ix++ {
		for iy := y0; iy <= y1; iy++ {
			for n := t.slots[t.slot(ix, iy)] - 1; n >= 0; n = t.next[n] - 1 {
				t.looks++
				visit(n)
			}
		}
	}
}

// put returns the number of the node at p, within the measuring tolerance, and
// makes one where there is none. Other nodes that are the same as drawn are
// noted as near.
func (t *nodeTable) put(p geom.Point) int32 {
	for i := range t.last {
		if t.last[i].p == p && i < t.puts {
			return t.last[i].n
		}
	}
	last := &t.last[t.puts%len(t.last)]
	t.puts++
	last.p, last.n = p, t.find(p)
	return last.n
}

// find is put for a point that was not put just before.
func (t *nodeTable) find(p geom.Point) int32 {
	at, best := int32(-1), geom.Tolerance
	mark := len(t.near)
	id := int32(len(t.pos))
	x0, x1 := int64(math.Floor((p.X-coincident)/nodeCell)), int64(math.Floor((p.X+coincident)/nodeCell))
	y0, y1 := int64(math.Floor((p.Y-coincident)/nodeCell)), int64(math.Floor((p.Y+coincident)/nodeCell))
	for ix := x0; ix <= x1; ix++ {
		for iy := y0; iy <= y1; iy++ {
			for n := t.slots[t.slot(ix, iy)] - 1; n >= 0; n = t.next[n] - 1 {
				q := t.pos[n]
				t.looks++
				if p == q { // no other can be nearer
					t.near = t.near[:mark]
					return n
				}
				if math.Abs(p.X-q.X) > coincident || math.Abs(p.Y-q.Y) > coincident {
					continue
				}
				d := p.Distance(q)
				if d <= best {
					at, best = n, d
				} else if d <= coincident {
					t.looks += nearSteps
					t.near = append(t.near, nearPair{n, id, d})
				}
			}
		}
	}
	if at >= 0 {
		t.near = t.near[:mark]
		t.moved = true
		return at
	}
	return t.insert(p)
}

// nearSteps is what a pair of nodes near each other costs, in the steps of a Guard.
const nearSteps = 20

// takeLooked returns how many nodes were looked at since the last call.
func (t *nodeTable) takeLooked() int {
	n := t.looks
	t.looks = 0
	return n
}

// insert makes a new node at p whatever lies there.
func (t *nodeTable) insert(p geom.Point) int32 {
	id := int32(len(t.pos))
	t.pos = append(t.pos, p)
	s := t.slot(int64(math.Floor(p.X/nodeCell)), int64(math.Floor(p.Y/nodeCell)))
	t.next = append(t.next, t.slots[s])
	t.slots[s] = id + 1
	return id
}

// nearest returns the node nearest to p within reach, or -1.
func (t *nodeTable) nearest(p geom.Point, reach float64) int32 {
	at, best := int32(-1), reach
	t.around(p, reach, func(n int32) {
		if d := p.Distance(t.pos[n]); d <= best {
			at, best = n, d
		}
	})
	return at
}

// unions is a disjoint-set forest with path halving.
type unions []int32

func newUnions(n int) unions {
	u := make(unions, n)
	for i := range u {
		u[i] = int32(i)
	}
	return u
}

func (u unions) find(i int32) int32 {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

// join unites two sets; the lower number stays the root.
func (u unions) join(a, b int32) {
	a, b = u.find(a), u.find(b)
	if a > b {
		a, b = b, a
	}
	u[b] = a
}
