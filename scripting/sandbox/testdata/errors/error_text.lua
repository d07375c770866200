-- want: error_text.lua:2: the yard is full
error("the yard is full")
