package trace
import ("testing";"math/rand/v2";"math";"trueup/dxfio/geom";"fmt";"strings")
func TestZZ(t *testing.T) {
	kinds:=map[string]int{}
	shown:=0
	n:=0
	for seed := range uint64(*chaosDrawings) {
		r := rand.New(rand.NewPCG(seed, 31))
		curves := chaos(r)
		want := fingerprint(Close(curves, Default()), same)
		angle, shift := r.Float64()*2*math.Pi, geom.Point{X: r.Float64()*1e4 - 5e3, Y: r.Float64()*1e4 - 5e3}
		moved := disorder(r, curves)
		for i := range moved {
			moved[i].Curve = moved[i].Curve.Rotate(angle).Translate(shift)
		}
		undo := func(p geom.Point) geom.Point { return p.Sub(shift).Rotate(-angle) }
		got := fingerprint(Close(moved, Default()), undo)
		c:=map[string]int{}
		for _,g:=range got {c[g]++}
		for _,g:=range want {c[g]--}
		var d []string
		k:=map[string]bool{}
		for s,x:=range c { if x!=0 {d=append(d,fmt.Sprint(x," ",s)); k[strings.Fields(s)[0]]=true}}
		if len(d)==0 {continue}
		n++
		key:=fmt.Sprint(k)
		kinds[key]++
		if len(d)<=4&&shown<12 {shown++; t.Log(seed, len(curves)); for _,s:=range d {t.Log("    ",s)}}
	}
	for k,v:=range kinds {t.Log(v,k)}
	t.Log(n)
}
