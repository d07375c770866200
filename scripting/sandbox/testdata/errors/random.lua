-- want: random.lua:2: there is no luck to draw here; random numbers may not be used
local x = math.random()
