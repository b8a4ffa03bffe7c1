#!/usr/bin/perl
# gsm7.pl SMS_DUMP: compares the room sms with Perl's Encode::GSM0338 (tables) and Unicode::Normalize
# (form NFC), both core modules and written by others. Parts are counted here a second time, by cutting.
# Not compared: broken escapes, where Encode gives U+FFFD and the standard the main table's character;
# and U+001B, which Encode takes for a character and the standard for the escape.
# A missing module ends this with a failure.
use strict;
use warnings;
use Encode qw(encode decode FB_CROAK);
use Encode::GSM0338;
use File::Temp qw(tempfile);
use Unicode::Normalize qw(NFC);

my $dump = shift or die "usage: gsm7.pl SMS_DUMP\n";
my ( $compared, $wrong ) = ( 0, 0 );

# All lines go through a file, so that neither side waits for the other.
sub ask {
    my ( $what, @lines ) = @_;
    my ( $file, $name ) = tempfile( UNLINK => 1 );
    print $file map { "$_\n" } @lines;
    close $file or die "$name: $!";
    my @answers = `'$dump' $what <'$name'`;
    my $status  = $?;
    unlink $name;
    die "$dump $what ended with $status\n" if $status;
    chomp @answers;
    die sprintf "%s %s: %d lines in, %d out\n", $dump, $what, scalar @lines, scalar @answers
        if @answers != @lines;
    return @answers;
}

sub hex_of { return unpack 'H*', shift }

sub compare {
    my ( $case, $got, $want ) = @_;
    $compared++;
    return if $got eq $want;
    print "$case: got $got, wanted $want\n" if ++$wrong <= 20;
}

# The octets of a text by Encode, one to a septet, or undef when a character is outside. Characters
# are remembered: parts need each by itself, and refusing one is slow.
my %of_character;

sub encoded {
    my $text = shift;
    return eval { encode( 'gsm0338', $text, FB_CROAK ) };
}

sub gsm7_by_perl {
    my $text = shift;
    return '' if $text eq '';
    for ( split //, $text ) {
        $of_character{$_} = encoded($_) unless exists $of_character{$_};
        return undef unless defined $of_character{$_};
    }
    return encoded($text);
}

# Greedy cutting into parts of whole characters.
sub parts {
    my ( $one, $part, @sizes ) = @_;
    my ( $sum, $parts, $used ) = ( 0, 1, 0 );
    $sum += $_ for @sizes;
    return $sum ? 1 : 0 if $sum <= $one;
    for my $size (@sizes) {
        if ( $used + $size > $part ) {
            $parts++;
            $used = 0;
        }
        $used += $size;
    }
    return $parts;
}

sub measured_by_perl {
    my $text  = NFC(shift);
    my $bytes = gsm7_by_perl($text);
    if ( defined $bytes ) {
        my @sizes = map { length $of_character{$_} } split //, $text;
        return sprintf 'gsm7 %d %d %s', length $bytes, parts( 160, 153, @sizes ), hex_of($bytes);
    }
    my $units = encode( 'UTF-16BE', $text );
    my @sizes = map { ord > 0xffff ? 2 : 1 } split //, $text;
    return sprintf 'ucs2 %d %d %s', length($units) / 2, parts( 70, 67, @sizes ), hex_of($units);
}

sub check_texts {
    my @texts = @_;
    my @got   = ask( 'text', map { hex_of( encode( 'UTF-8', $_ ) ) } @texts );
    for my $i ( 0 .. $#texts ) {
        compare( 'text ' . join( ' ', map { sprintf '%04X', ord } split //, $texts[$i] ),
            $got[$i], measured_by_perl( $texts[$i] ) );
    }
}

# Every code, both ways: 127 of the main table (ESC is none) and 10 of the extension.
sub check_codes {
    my @codes = ( ( map { chr } grep { $_ != 0x1b } 0 .. 127 ),
        map { "\x1b" . chr } 0x0a, 0x14, 0x28, 0x29, 0x2f, 0x3c, 0x3d, 0x3e, 0x40, 0x65 );
    my @got = ask( 'septets', map { hex_of($_) } @codes );
    my @texts;
    for my $i ( 0 .. $#codes ) {
        my $text = decode( 'gsm0338', my $copy = $codes[$i], FB_CROAK );
        push @texts, $text;
        compare( 'code ' . hex_of( $codes[$i] ), $got[$i], hex_of( encode( 'UTF-8', $text ) ) );
    }
    check_texts(@texts);
}

# Which single characters are inside: the Basic Multilingual Plane but for Han and
# Hangul, which only take time, and the fish.
sub check_characters {
    check_texts( map { chr } grep { $_ != 0x1b && ( $_ < 0xd800 || $_ > 0xdfff ) && $_ < 0xfffe
                && ( $_ < 0xfdd0 || $_ > 0xfdef ) }
            1 .. 0x33ff, 0xa000 .. 0xabff, 0xd7a4 .. 0xffff );
    check_texts( "\x{1f41f}", '', "\x{1f41f}\x{1f40b}" );
}

sub check_random {
    srand 20261101;
    my @gsm7  = map { chr } 32 .. 95, 97 .. 126, 10, 13, 0xa3, 0xa5, 0xe8, 0xe9, 0xe0, 0xc7, 0xd8,
        0x394, 0x3a9, 0x20ac;
    my @latin = map { chr } 0xa1 .. 0x17f;
    my @hausa = map { chr } 0x181, 0x18a, 0x198, 0x1b3, 0x253, 0x257, 0x199, 0x1b4, 0x2bc, 0x2019;
    my @other = map { chr } 0x300 .. 0x304, 0x308, 0x30a, 0x323, 0x327, 0x1eb9, 0x1ecd, 0x1e63,
        0x202f, 0xa0, 0x60, 9, 0x660, 0x1f41f, 0x2126;
    my @texts;
    for ( 1 .. 5000 ) {
        my @from = ( [@gsm7], [ @gsm7, @gsm7, @gsm7, "\x{301}", "\x{300}" ],
            [ @gsm7, @latin ], [ @gsm7, @hausa ], [ @gsm7, @latin, @hausa, @other ] );
        my $from = $from[ rand @from ];
        push @texts, join '', map { $from->[ rand @$from ] } 1 .. 1 + rand 330;
    }
    check_texts(@texts);

    # Back again: what Encode packs, our reader shows as Encode does.
    my @inside = grep { defined } map { gsm7_by_perl( NFC($_) ) } @texts;
    die "too few random texts are inside GSM-7\n" if @inside < 500;
    my @got = ask( 'septets', map { hex_of($_) } @inside );
    for my $i ( 0 .. $#inside ) {
        compare( 'septets ' . hex_of( $inside[$i] ), $got[$i],
            hex_of( encode( 'UTF-8', decode( 'gsm0338', my $copy = $inside[$i], FB_CROAK ) ) ) );
    }
}

check_codes();
check_characters();
check_random();
print "$compared compared with Encode::GSM0338 $Encode::GSM0338::VERSION, $wrong differ\n";
exit( $wrong ? 1 : 0 );
