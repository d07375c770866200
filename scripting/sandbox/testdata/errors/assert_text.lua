-- want: assert_text.lua:3: no furnace is free
local free = 0
assert(free > 0, "no furnace is free")
