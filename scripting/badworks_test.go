package scripting

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/scripting/decl"
)

// edited loads the works of the file after an edit, from a loader that knows no
// disk, and gives its problems without the file's name. "@" stands for the line of
// the edit.
func edited(t *testing.T, old, new string, orders string) []string {
	t.Helper()
	const file = "scenarios/larkfell/works.lua"
	source, err := fs.ReadFile(scenarios.FS, "larkfell/works.lua")
	if err != nil {
		t.Fatal(err)
	}
	text := string(source)
	at := strings.Index(text, old)
	if at < 0 {
		t.Fatalf("%q is not in the works file any more", old)
	}
	text = text[:at] + new + text[at+len(old):]
	line := 1 + strings.Count(text[:at], "\n") + strings.Count(new[:len(new)-len(strings.TrimLeft(new, "\n"))], "\n")
	_, err = LoadWorks(file, func(name string) ([]byte, error) {
		switch {
		case name == file:
			return []byte(text), nil
		case name == "scenarios/larkfell/orders.csv" && orders != "":
			return []byte(orders), nil
		}
		return nil, fs.ErrNotExist
	}, 0)
	if err == nil {
		return nil
	}
	var p decl.Problems
	if !errors.As(err, &p) {
		t.Fatalf("%T %v", err, err)
	}
	var out []string
	for _, one := range p {
		out = append(out, strings.Replace(strings.TrimPrefix(one.Error(), file), fmt.Sprintf(":%d:", line), "@", 1))
	}
	return out
}

const fewOrders = "order_id,product,tonnes,due_in_d\nA1,P01,500,3\n"

// A works file with one thing wrong says what, where, and what to write.
func TestBadWorks(t *testing.T) {
	alone(t)
	for _, c := range []struct{ old, new, orders, want string }{
		{`currency = "EUR"`, `currency = "EUR", ambeint = "25 C"`, fewOrders, `@ unknown key 'ambeint' in works "Larkfell"; did you mean 'ambient'?`},
		{`currency = "EUR",`, ``, fewOrders, `works "Larkfell" needs 'currency'; add currency = "..."`},
		{`thickness = "230 mm"`, `thickness = "230 kg"`, fewOrders, `@ thickness: "230 kg" is a mass; a length is needed here, for example "230 mm"`},
		{`room = "26000 t",`, `room = "-26000 t",`, fewOrders, `@ room: "-26000 t" is below zero, which has no meaning for a mass; write for example "23.2 t"`},
		{`room = "26000 t",`, `room = "0 t",`, fewOrders, `@ room: "0 t" is no room at all; write how much it holds`},
		{`normal = "15800 t"`, `normal = "30000 t"`, fewOrders, `@ normal: "30000 t" is above the room of "26000 t"; write a level that fits`},
		{`normal = "15800 t"`, `normal = "6000 t"`, fewOrders, `@ normal: "6000 t" is below low = "7000 t"; low, normal, high and room must rise in this order`},
		{`digging = 0.35`, `digging = 0/0`, fewOrders, `@ digging is not a number that can be used; is something divided by zero?`},
		{`digging = 0.35`, `digging = -1`, fewOrders, `@ digging: -1 is out of range; write a number from 0 to 10`},
		{`flared = "4 EUR/GJ"`, `flared = "4 USD/GJ"`, fewOrders, `@ flared: "4 USD/GJ" is in USD, but the works counts in EUR; write every amount in one currency`},
		{`flared = "4 EUR/GJ"`, `flared = "4 EUR/t"`, fewOrders, `@ flared: "4 EUR/t" is money per mass; money per energy is needed here, for example "9 EUR/GJ"`},
		{`grade = "structural", thickness = "6.0 mm"`, `grade = "structurel", thickness = "6.0 mm"`, fewOrders, `@ grade: there is no grade "structurel"; did you mean "structural"?`},
		{`name = "P02"`, `name = "P01"`, fewOrders, `@ name: there is a product P01 already; give each product a name of its own`},
		{`share = "12 %"`, `share = "22 %"`, fewOrders, `products: the shares add up to 110.0 %; make them 100 %`},
		{`C = "0.15 %"`, `C = "0.95 %"`, fewOrders, `@ structural: grade structural: composition: C is 0.95 %, want 0 to 0.5 %`},
		{`roll_radius = "575 mm", `, ``, fewOrders, `rougher needs 'roll_radius'; add roll_radius = "230 mm"`},
		{`set_backs = { "60 C", "120 C", "250 C" }`, `set_backs = { "120 C", "60 C" }`, fewOrders, `@ set_backs: step 2 is not below the one before; write rising steps below the set-point, such as { "60 C", "120 C" }`},
		{`{ share = "25 %", gas = "980 C" }`, `{ share = "35 %", gas = "980 C" }`, fewOrders, `@ zones: the shares add up to 110 %; make them 100 %`},
		{`charge = "oldest first"`, `charge = "oldest fist"`, fewOrders, `@ charge: "oldest fist" is not known here; did you mean "oldest first"?`},
		{`yard = { low = "12000 t"`, `yard = { overflow_above = "20000 t", low = "12000 t"`, fewOrders, `@ overflow_above: it is not between the high level of the slab yard and its room; write a level between 21,500 t and 26,000 t`},
		{`yard = { low = "12000 t"`, `yard = { overflow_above = "27000 t", low = "12000 t"`, fewOrders, `@ overflow_above: it is not between the high level of the slab yard and its room; write a level between 21,500 t and 26,000 t`},
		{`{ unit = "C1",       every = "14 d"`, `{ unit = "C7", every = "14 d"`, fewOrders, `@ unit: there is no unit "C7"; did you mean "C1"?`},
		{`include "orders.csv"`, `include "ordres.csv"`, fewOrders, `@ orders: there is no file "scenarios/larkfell/ordres.csv"; check the path; it is counted from the folder of scenarios/larkfell/works.lua`},
		{`include "orders.csv"`, `include "orders.csv"`, "order_id,product,tonnnes,due_in_d\n", `@ orders: scenarios/larkfell/orders.csv:1: unknown column tonnnes; did you mean tonnes?`},
		{`include "orders.csv"`, `include "orders.csv"`, "order_id,product,tonnes\n", `@ orders: scenarios/larkfell/orders.csv:1: the due date is missing or given twice; give one of the columns due_date and due_in_d`},
		{`include "orders.csv"`, `include "orders.csv"`, "order_id,product,tonnes,due_in_d\nA1,P01,500,3\nA2,P01,many,3\n", `@ orders: scenarios/larkfell/orders.csv:3: tonnes: many is not a number that can be used; write a plain number`},
		{`include "orders.csv"`, `include "orders.csv"`, "order_id,product,tonnes,due_in_d\nA1,P01,NaN,3\n", `@ orders: scenarios/larkfell/orders.csv:2: tonnes: NaN is not a number that can be used; write a plain number`},
		{`every = "155 d"`, `every = "270 coils"`, fewOrders, `@ every: "270 coils" is a number of pieces; a length of time is needed here, for example "9 h"`},
		{`every = "700 coils"`, `every = "700 d"`, fewOrders, `@ every: "700 d" is a length of time; a number of pieces is needed here, for example "12"`},
		{`slow = "80 %", `, ``, fewOrders, `upset "descaling pump lost" needs 'slow'; add slow = "60 %"`},
	} {
		got := strings.Join(edited(t, c.old, c.new, c.orders), "\n")
		if got != c.want && !(len(got) > len(c.want) && strings.HasSuffix(got, ": "+c.want)) {
			t.Errorf("%s\ngot  %s\nwant %s", c.new, got, c.want)
		}
	}
}

// What the file's schema lets through but no works can be comes from building it,
// and is reported at the part.
func TestUnbuildable(t *testing.T) {
	got := edited(t, `discharge = "1240 C"`, `discharge = "1340 C"`, fewOrders)
	if len(got) == 0 || !strings.Contains(got[0], "gas of") || !strings.HasPrefix(got[0], ":") {
		t.Errorf("got %q, want the furnace's last zone blamed, with a line", got)
	}
}
