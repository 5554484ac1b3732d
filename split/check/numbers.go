package check

import (
	"fmt"
	"math"
	"reflect"
	"strings"
)

// notFinite finds a number in the value that is not finite or is larger than
// anything made of cloth, and says where it is, as in pieces[0].grain_deg.
func notFinite(v any) (at string, x float64) {
	at, x = search(reflect.ValueOf(v))
	return strings.TrimPrefix(at, "."), x
}

// search walks a value of structs, slices and arrays. The path it gives is
// never empty for a number that it finds.
func search(v reflect.Value) (at string, x float64) {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); !(math.Abs(x) <= largestMM*largestMM) {
			return ".", x
		}
	case reflect.Slice, reflect.Array:
		if points, ok := v.Interface().([][2]float64); ok {
			for i, p := range points {
				for _, x := range p {
					if !(math.Abs(x) <= largestMM) {
						return fmt.Sprintf("[%d]", i), x
					}
				}
			}
			return "", 0
		}
		for i := range v.Len() {
			if at, x := search(v.Index(i)); at != "" {
				return fmt.Sprintf("[%d]%s", i, at), x
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if at, x := search(v.Field(i)); at != "" {
				name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
				return "." + name + strings.TrimSuffix(at, "."), x
			}
		}
	}
	return "", 0
}
