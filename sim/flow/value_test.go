package flow_test

import (
	"reflect"
	"testing"

	"millrace/sim/flow"
)

// references returns the paths inside t that are not plain values or slices of
// them.
func references(t reflect.Type, path string) []string {
	switch t.Kind() {
	case reflect.Struct:
		var out []string
		for i := range t.NumField() {
			f := t.Field(i)
			out = append(out, references(f.Type, path+"."+f.Name)...)
		}
		return out
	case reflect.Slice, reflect.Array:
		return references(t.Elem(), path+"[]")
	case reflect.Bool, reflect.Float32, reflect.Float64,
		reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return nil
	}
	return []string{path + " is a " + t.Kind().String()}
}

// nested reports whether there is a slice in a slice.
func nested(t reflect.Type, inSlice bool) bool {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			if nested(t.Field(i).Type, inSlice) {
				return true
			}
		}
	case reflect.Array:
		return nested(t.Elem(), inSlice)
	case reflect.Slice:
		return inSlice || nested(t.Elem(), true)
	}
	return false
}

// TestNetIsAValue walks the type: no pointer, map, function, interface, channel
// or string anywhere, and no slice inside a slice.
func TestNetIsAValue(t *testing.T) {
	net := reflect.TypeFor[flow.Net]()
	for _, r := range references(net, "Net") {
		t.Error(r)
	}
	if nested(net, false) {
		t.Error("Net has a slice inside a slice, which CopyFrom would share")
	}
	type bad struct {
		A []struct{ P *int }
		B [2]map[int]int
		C func()
		D any
		E chan int
		F string
		G [][]int
	}
	if b := reflect.TypeFor[bad](); len(references(b, "bad")) != 6 || !nested(b, false) {
		t.Errorf("the walk found only %v", references(b, "bad"))
	}
}
