-- want: join_nil.lua:3: cannot join nil (nothing) to a text with '..'; use tostring() for values that are not texts or numbers
local t = {}
print("free: " .. t.free)
