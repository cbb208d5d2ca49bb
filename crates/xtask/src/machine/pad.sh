# A game pad: twelve buttons and two sprung sticks of eight bits, which send
# less the farther they are pushed away.
PRODUCT="Two stick pad"
LENGTH=6
DESCRIPTOR='\005\001\011\005\241\001\005\011\031\001\051\014\025\000\045\001\165\001\225\014\201\002\165\001\225\004\201\003\005\001\011\060\011\061\011\063\011\064\025\000\046\377\000\165\010\225\004\201\002\300'
LOW=0
MIDDLE=127
HIGH=255
LEFT_ACROSS=a0 LEFT_ACROSS_TO=$HIGH LEFT_ACROSS_FROM=$LOW
LEFT_ALONG=a1 LEFT_ALONG_TO=$LOW LEFT_ALONG_FROM=$HIGH
RIGHT_ACROSS=a2 RIGHT_ACROSS_TO=$HIGH RIGHT_ACROSS_FROM=$LOW
RIGHT_ALONG=a3 RIGHT_ALONG_TO=$LOW RIGHT_ALONG_FROM=$HIGH
THROTTLE_REST=$MIDDLE

report() {
    S=""
    byte $((buttons & 255))
    byte 0
    for value in $a0 $a1 $a2 $a3; do
        byte "$value"
    done
    printf "$S" >/dev/hidg0
}
