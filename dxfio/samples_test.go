package dxfio

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Drawings that ezdxf 0.18.1 wrote, and the length of the curves of each layer
// that ezdxf measured in them along a fine flattening (made by
// testdata/outside/reader_check.py --samples, which compares many more).
func TestSamplesOfAnotherLibrary(t *testing.T) {
	var want map[string]map[string]float64
	b, err := os.ReadFile(filepath.Join("testdata", "lengths.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &want); err != nil {
		t.Fatal(err)
	}
	if len(want) == 0 {
		t.Fatal("no lengths to compare with")
	}
	for file, lengths := range want {
		t.Run(file, func(t *testing.T) {
			f, err := os.Open(filepath.Join("testdata", file))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			d, err := Read(f, Options{File: file, AreaLayer: func(l string) bool { return strings.HasPrefix(l, "COUNTER") }})
			if err != nil {
				t.Fatal(err)
			}
			got := map[string]float64{}
			for _, l := range d.Layers {
				got[strings.ToLower(l.Name)] = l.Length
			}
			for layer, length := range lengths {
				have, ok := got[layer]
				if !ok || math.Abs(have-length) > 1e-4*length+1e-9 {
					t.Errorf("layer %s: %v, want %v", layer, have, length)
				}
				delete(got, layer)
			}
			for layer, length := range got {
				if length != 0 {
					t.Errorf("layer %s: %v, want nothing", layer, length)
				}
			}
		})
	}
}
