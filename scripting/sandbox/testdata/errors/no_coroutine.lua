-- want: no_coroutine.lua:3: 'coroutine' is not available in these scripts
-- hint: a plan waits by calling a function that waits; coroutines are not needed
local co = coroutine.create(print)
