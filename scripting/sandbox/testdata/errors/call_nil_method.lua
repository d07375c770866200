-- want: call_nil_method.lua:6: 'works:await_stp' is not a function and cannot be called
-- hint: check the spelling of the name before the brackets
local works = { await_stop = function() end }
works:await_stop("finishing train")

works:await_stp("finishing train")
