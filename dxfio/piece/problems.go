package piece

import "fmt"

// mostListed bounds how many problems of one kind on one layer are listed one by
// one: a hatched floor plan gives thousands, and a person reads none of them.
const mostListed = 50

// problemList collects problems; past mostListed of a kind on a layer only
// their number grows.
type problemList struct {
	list []Problem
	seen map[string]*listed
}

type listed struct{ count, last int }

func (l *problemList) add(p Problem) {
	if l.seen == nil {
		l.seen = map[string]*listed{}
	}
	key := string(p.Kind) + "\x00" + p.Layer
	s := l.seen[key]
	if s == nil {
		s = &listed{}
		l.seen[key] = s
	}
	s.count++
	if s.count > mostListed {
		last := &l.list[s.last]
		last.Count += max(1, p.Count)
		last.Why = fmt.Sprintf("this one and %d more like it on the layer", s.count-mostListed)
		return
	}
	s.last = len(l.list)
	l.list = append(l.list, p)
}
