package settings

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"reflect"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
)

// factors gives, for each unit a setting can have, the units a value may be
// written in and what one of them is worth. Exact by NIST SP 811.
var factors = map[string]map[string]float64{
	"mm":     {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, `"`: 25.4, "inch": 25.4, "ft": 304.8},
	"mm2":    {"mm2": 1, "cm2": 100, "m2": 1e6, "in2": 645.16, "ft2": 92903.04},
	"deg":    {"deg": 1, "°": 1},
	"kg":     {"kg": 1, "lb": 0.45359237},
	"kg/m3":  {"kg/m3": 1, "lb/ft3": 0.45359237 / (0.3048 * 0.3048 * 0.3048)},
	"MPa":    {"MPa": 1, "N/mm2": 1, "psi": 4.4482216152605 / 645.16, "ksi": 4448.2216152605 / 645.16},
	"N":      {"N": 1, "kN": 1000, "lbf": 4.4482216152605},
	"mm/min": {"mm/min": 1, "m/min": 1000, "in/min": 25.4},
	"m/s":    {"m/s": 1, "ft/min": 0.3048 / 60},
	"min":    {"min": 1, "s": 1.0 / 60, "h": 60},
	"s":      {"s": 1, "sec": 1, "ms": 1e-3, "min": 60, "m": 60, "h": 3600},
	"share":  {"%": 0.01},
	"bytes":  {"B": 1, "kB": 1e3, "MB": 1e6, "GB": 1e9, "KiB": 1 << 10, "MiB": 1 << 20, "GiB": 1 << 30},
}

var (
	fraction = regexp.MustCompile(`^\s*([+-]?)(?:(\d+)[ -])?\s*(\d+)\s*/\s*(\d+)\s*([^\d\s/].*?)?\s*$`)
	decimal  = regexp.MustCompile(`^\s*([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*([^\d\s/.].*?)?\s*$`)
)

// parseQuantity reads "1/16 in", "1 1/2 in", "1.5 mm" or a bare "12" as a number
// of the setting's own unit. A fraction of a length wants its unit: "1/16" is
// meant as inches and would be taken for millimetres.
func parseQuantity(s, unit string) (float64, error) {
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("%q has a comma; write decimals with a point", s)
	}
	var x float64
	var word string
	if m := fraction.FindStringSubmatch(s); m != nil {
		part, ok := new(big.Rat).SetString(m[3] + "/" + m[4])
		if !ok {
			return 0, fmt.Errorf("%q divides by zero", s)
		}
		x, _ = part.Float64()
		if m[2] != "" {
			whole, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				return 0, fmt.Errorf("%q is not a number with a unit", s)
			}
			x += whole
		}
		if m[1] == "-" {
			x = -x
		}
		word = m[5]
	} else if m := decimal.FindStringSubmatch(s); m != nil {
		var err error
		if x, err = strconv.ParseFloat(m[1], 64); err != nil {
			return 0, fmt.Errorf("%q is not a number with a unit", s)
		}
		word = m[2]
	} else {
		return 0, fmt.Errorf("%q is not a number with a unit", s)
	}
	if word == "" {
		if strings.Contains(s, "/") && unit == "mm" {
			return 0, fmt.Errorf("%q has no unit; write %q or %q", s, strings.TrimSpace(s)+" in", strings.TrimSpace(s)+" mm")
		}
		return x, nil
	}
	f, ok := factors[unit][word]
	if !ok {
		return 0, fmt.Errorf("%q has the unit %q; allowed here: %s", s, word, unitNames(unit))
	}
	return decimals(x * f), nil
}

// decimals takes off what multiplying left in the last digits of a number, far below
// what any setting can mean: 1 1/2 in is 38.1 mm, not 38.099999999999994.
func decimals(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 14, 64), 64)
	if err != nil {
		return x // beyond what a float64 holds; refused as such later
	}
	return rounded
}

func unitNames(unit string) string {
	names := make([]string, 0, len(factors[unit]))
	for n := range factors[unit] {
		names = append(names, n)
	}
	if len(names) == 0 {
		return "a number without a unit"
	}
	slices.SortFunc(names, func(a, b string) int { // the largest worth last, a sign after its words
		return cmp.Or(cmp.Compare(factors[unit][a], factors[unit][b]), cmp.Compare(len(b), len(a)), cmp.Compare(a, b))
	})
	return strings.Join(names, ", ")
}

// set stores a decoded TOML value in the field, checking kind, unit and range.
func (f field) set(raw any) error {
	v := f.value
	switch v.Kind() {
	case reflect.String:
		s, ok := raw.(string)
		if !ok {
			return wrongKind(raw, "text in quotes")
		}
		v.SetString(s)
	case reflect.Bool:
		b, ok := raw.(bool)
		if !ok {
			return wrongKind(raw, "true or false")
		}
		v.SetBool(b)
	case reflect.Float64, reflect.Int, reflect.Int32, reflect.Int64:
		return f.setNumber(raw)
	case reflect.Slice:
		return f.setList(raw)
	case reflect.Map:
		return f.setMap(raw)
	default:
		panic("settings: no decoding for " + v.Type().String()) // a programming error, met by any test
	}
	return nil
}

func (f field) setNumber(raw any) error {
	var x float64
	var err error
	switch r := raw.(type) {
	case int64:
		x = float64(r)
	case float64:
		x = r
	case string:
		if f.value.Type() == durationType {
			if d, derr := time.ParseDuration(strings.ReplaceAll(r, " ", "")); derr == nil {
				x = d.Seconds()
				break
			}
		}
		x, err = parseQuantity(r, f.unit)
	default:
		return wrongKind(raw, "a number")
	}
	if err != nil {
		return err
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%v is not a number a shop can use", raw)
	}
	if f.min != nil && x < *f.min || f.max != nil && x > *f.max {
		return fmt.Errorf("%v is out of range; allowed: %s", raw, f.allowed())
	}
	switch {
	case f.value.Type() == durationType:
		f.value.SetInt(int64(x * float64(time.Second)))
	case f.value.Kind() == reflect.Float64:
		f.value.SetFloat(x)
	default:
		if x != math.Trunc(x) {
			return fmt.Errorf("%v is not a whole number", raw)
		}
		f.value.SetInt(int64(x))
	}
	return nil
}

// plainNumber writes a number as people do: no exponent below 10^15, and no
// more than four significant digits of a fraction.
func plainNumber(x float64) string {
	if x == math.Trunc(x) && math.Abs(x) < 1e15 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	if short := strconv.FormatFloat(x, 'g', 4, 64); math.Abs(x) < 1 && math.Abs(x) >= 1e-4 {
		return short
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// allowed describes the range of the field.
func (f field) allowed() string {
	s := ""
	switch {
	case f.min != nil && f.max != nil:
		s = plainNumber(*f.min) + " to " + plainNumber(*f.max)
	case f.min != nil:
		s = plainNumber(*f.min) + " or more"
	case f.max != nil:
		s = "at most " + plainNumber(*f.max)
	}
	if s != "" && f.unit != "" {
		s += " " + f.unit
	}
	return s
}

func (f field) setList(raw any) error {
	list, ok := raw.([]any)
	if !ok {
		return wrongKind(raw, "a list in brackets")
	}
	out := reflect.MakeSlice(f.value.Type(), len(list), len(list))
	for i, e := range list {
		element := field{key: f.key, value: out.Index(i), unit: f.unit, min: f.min, max: f.max}
		if err := element.set(e); err != nil {
			return err
		}
	}
	f.value.Set(out)
	return nil
}

func (f field) setMap(raw any) error {
	table, ok := raw.(map[string]any)
	if !ok {
		return wrongKind(raw, "a table")
	}
	out := reflect.MakeMap(f.value.Type())
	for _, k := range slices.Sorted(mapKeys(table)) {
		v := reflect.New(f.value.Type().Elem()).Elem()
		if err := (field{key: f.key, value: v, unit: f.unit, min: f.min, max: f.max}).set(table[k]); err != nil {
			return fmt.Errorf("%s: %w", k, err)
		}
		out.SetMapIndex(reflect.ValueOf(k), v)
	}
	f.value.Set(out)
	return nil
}

func mapKeys(m map[string]any) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func sortedKeys(v reflect.Value) []string {
	keys := make([]string, 0, v.Len())
	for _, k := range v.MapKeys() {
		keys = append(keys, k.String())
	}
	sort.Strings(keys)
	return keys
}

func wrongKind(raw any, want string) error {
	return fmt.Errorf("found %v; write %s", raw, want)
}
