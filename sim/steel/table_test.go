package steel_test

import "millrace/sim/reftable"

var near, readTable = reftable.Near, reftable.Numbers
