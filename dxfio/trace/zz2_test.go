package trace
import ("testing";"math/rand/v2";"math";"trueup/dxfio/geom";"os";"strconv")
func TestZ2(t *testing.T) {
	sd,_:=strconv.Atoi(os.Getenv("SEED"))
		r := rand.New(rand.NewPCG(uint64(sd), 31))
		curves := chaos(r)
		for _,c:=range curves {t.Log(c.ID,c.Kind,c.Entity,c.Curve)}
		angle, shift := r.Float64()*2*math.Pi, geom.Point{X: r.Float64()*1e4 - 5e3, Y: r.Float64()*1e4 - 5e3}
		moved := disorder(r, curves)
		for i := range moved {
			moved[i].Curve = moved[i].Curve.Rotate(angle).Translate(shift)
		}
		undo := func(p geom.Point) geom.Point { return p.Sub(shift).Rotate(-angle) }
		for k,res:=range []Result{Close(curves,Default()),Close(moved,Default())} {
			t.Log("======",k)
			u:=same
			if k==1 {u=undo}
			for _,o:=range res.Open {
				t.Logf("open %.3f", o.Gap)
				for _,c:=range o.Curves {t.Logf("   %d %.4f %.4f %g",c.ID,u(c.A),u(c.B),c.Bulge)}
			}
			for _,c:=range res.Strays {t.Logf("stray   %d %.4f %.4f %g",c.ID,u(c.A),u(c.B),c.Bulge)}
			for _,f:=range res.Faces {
				t.Logf("face %d %.3f", f.Depth, f.Outer.Geom().Area())
				for _,c:=range f.Outer {t.Logf("   %d %.4f %.4f %g",c.ID,u(c.A),u(c.B),c.Bulge)}
			}
			for _,c:=range res.Repairs {t.Logf("repair   %d %s %.4f %.4f",c.ID,c.Kind,u(c.At),c.Size)}
		}
}
