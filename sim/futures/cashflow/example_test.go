package cashflow_test

import (
	"fmt"

	"millrace/sim/futures/cashflow"
)

// A coiler for 100 that brings 39, 59, 55 and 20 at the end of four years.
func Example() {
	flows := []float64{-100, 39, 59, 55, 20}
	npv, _ := cashflow.NPV(0.10, flows)
	rates, _ := cashflow.IRR(flows)
	irr, one := rates.One()
	simple, _ := cashflow.Payback(flows)
	discounted, _ := cashflow.DiscountedPayback(0.10, flows)
	annual, _ := cashflow.EquivalentAnnual(0.10, flows)
	fmt.Printf("NPV %.2f, IRR %.2f %% (%v)\n", npv, 100*irr, one)
	fmt.Printf("back after %.4f years, discounted %.4f\n", simple.Periods, discounted.Periods)
	fmt.Printf("worth %.2f a year\n", annual)
	// Output:
	// NPV 39.20, IRR 28.09 % (true)
	// back after 2.0364 years, discounted 2.3820
	// worth 12.37 a year
}

// Spreadsheets discount the first flow too.
func ExampleNPVEnd() {
	flows := []float64{-10000, 3000, 4200, 6800}
	end, _ := cashflow.NPVEnd(0.10, flows)
	begin, _ := cashflow.NPV(0.10, flows)
	fmt.Printf("%.2f %.2f\n", end, begin)
	// Output: 1188.44 1307.29
}

// The pump that gets the oil out sooner has two rates of return.
func ExampleIRR() {
	for _, flows := range [][]float64{
		{-70000, 12000, 15000, 18000, 21000, 26000},
		{-1600, 10000, -10000},
		{1000, -3000, 2500},
	} {
		r, err := cashflow.IRR(flows)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%.4f %q\n", r.All, r.Note())
	}
	// Output:
	// [0.0866] ""
	// [0.2500 4.0000] "2 rates of return: none of them alone says whether it is worth it; go by the net present value"
	// [] "no rate of return: the net present value has the same sign at every rate"
}

func ExampleXIRR() {
	flows := []cashflow.Dated{
		{Day: cashflow.Date(2008, 1, 1), Amount: -10000},
		{Day: cashflow.Date(2008, 3, 1), Amount: 2750},
		{Day: cashflow.Date(2008, 10, 30), Amount: 4250},
		{Day: cashflow.Date(2009, 2, 15), Amount: 3250},
		{Day: cashflow.Date(2009, 4, 1), Amount: 2750},
	}
	npv, _ := cashflow.XNPV(0.09, flows)
	r, _ := cashflow.XIRR(flows)
	fmt.Printf("XNPV %.2f, XIRR %.4f %%\n", npv, 100*r.All[0])
	// Output: XNPV 2086.65, XIRR 37.3363 %
}

func ExampleMIRR() {
	r, _ := cashflow.MIRR([]float64{-120000, 39000, 30000, 21000, 37000, 46000}, 0.10, 0.12)
	fmt.Printf("%.2f %%\n", 100*r)
	// Output: 12.61 %
}

func ExampleEquivalentAnnualCost() {
	long, _ := cashflow.EquivalentAnnualCost(0.08, 10, 25000, 500, 2000)
	short, _ := cashflow.EquivalentAnnualCost(0.08, 5, 8000, 5500, 500)
	fmt.Printf("%.2f a year for ten years, %.2f for five\n", long, short)
	// Output: 4087.68 a year for ten years, 7418.42 for five
}

func ExamplePayback() {
	for _, flows := range [][]float64{{-10, 4, 4, 4}, {-10, 4}, {-10, 20, -15}} {
		b, _ := cashflow.Payback(flows)
		fmt.Println(b.Reached, b.Periods, b.FallsBack)
	}
	// Output:
	// true 2.5 false
	// false 0 false
	// true 0.5 true
}

func ExampleNominal() {
	n, _ := cashflow.Nominal(0.08, 0.03)
	fmt.Printf("%.2f %%\n", 100*n)
	// Output: 11.24 %
}
