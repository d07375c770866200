package reheating

import "math"

// GasCarbon is the carbon dioxide of natural gas in kg per J of net calorific value (56.1 kg/GJ: IPCC 2006 guidelines, from memory).
const GasCarbon = 56.1e-9

// Fuel returns the fuel in J (net calorific value) that heats massKg from hIn to hOut (J/kg) while wallPowerW goes through walls, hearth and roof for the given seconds.
//
// Eta is the available heat: the share of the fuel that does not leave with the flue, 0.5 to 0.65 with a recuperator (from memory). One measured furnace loses 1.98 MW through its shell (Si, Thompson and
// Calder, Renew. Sust. Energy Rev. 15 (2011) 2904). To use a single efficiency for all losses give it as eta, with no wall power. Fuel is never negative: steel that cools gives none back. NaN unless
// eta is above 0 and at most 1 and mass, power and time are 0 or more.
func Fuel(massKg, hIn, hOut, wallPowerW, seconds, eta float64) float64 {
	if !(eta > 0 && eta <= 1 && massKg >= 0 && wallPowerW >= 0 && seconds >= 0) {
		return math.NaN()
	}
	return max(0, massKg*(hOut-hIn)+wallPowerW*seconds) / eta
}

// HoldPower returns the fuel power in W of a furnace full of steel that gets no hotter.
func HoldPower(wallPowerW, eta float64) float64 {
	return Fuel(0, 0, 0, wallPowerW, 1, eta)
}

// CO2 returns the kg of carbon dioxide from fuelJ joules (net) of natural gas.
func CO2(fuelJ float64) float64 { return fuelJ * GasCarbon }
