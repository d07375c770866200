-- want: wait_at_top.lua:3: cannot wait at the top level of the file

wait("3 h")
